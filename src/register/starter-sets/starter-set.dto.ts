import { ApiProperty } from '@nestjs/swagger';
import { STARTER_SETS, type StarterSetCode } from '../../domain/starters/messages.js';
import { Choice, NestedList, Text } from '../../platform/fields/fields.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { IntervalInput, IntervalPlanView } from '../interval-plans/interval-plan.dto.js';
import { SpecSheetInput, SpecSheetView } from '../spec-sheets/spec-sheet.dto.js';

class StarterInterval {
  @ApiProperty({ type: () => IntervalInput }) interval!: IntervalInput;
  @ApiProperty({ type: () => MessageView, description: 'What it rests on' }) basis!: MessageView;
  @ApiProperty({ type: () => MessageView }) why!: MessageView;
}

class StarterValue {
  @ApiProperty({ description: 'Where it is on the sheet', example: '/coolant/capRating' }) pointer!: string;
  @ApiProperty({ type: () => MessageView, description: 'What it rests on' }) basis!: MessageView;
  @ApiProperty({ type: () => MessageView }) why!: MessageView;
}

/** A ready-made spec sheet and interval plan for one kind of vehicle. */
export class StarterSetView {
  @ApiProperty({ enum: STARTER_SETS }) set!: StarterSetCode;
  @ApiProperty({ type: () => MessageView, description: 'What its sheet and plan will be called' })
  name!: MessageView;
  @ApiProperty({ type: () => MessageView, description: 'For which vehicles it is meant' })
  purpose!: MessageView;
  @ApiProperty({ type: () => SpecSheetInput }) specSheet!: SpecSheetInput;
  @ApiProperty({ type: () => [StarterValue], description: 'What each value of the sheet rests on, and why' })
  values!: StarterValue[];
  @ApiProperty({ type: () => [StarterInterval] }) intervals!: StarterInterval[];
  @ApiProperty({
    type: () => [MessageView],
    description: 'What is not given, on purpose, and where to find it',
  })
  leftOut!: MessageView[];
  @ApiProperty({ type: () => [MessageView] }) cautions!: MessageView[];
}

export class StarterSetList {
  @ApiProperty({ type: () => [StarterSetView] }) items!: StarterSetView[];
}

class WantedStarterSet {
  @Choice(STARTER_SETS) set!: StarterSetCode;
  @Text({
    optional: true,
    max: 120,
    description: "What to call its sheet and plan; the set's name unless given",
  })
  name?: string | null;
}

export class TakeStarterSets {
  @NestedList(() => WantedStarterSet, { min: 1, max: 20, description: 'Which sets to take' })
  sets!: WantedStarterSet[];
}

class TakenStarterSet {
  @ApiProperty({ enum: STARTER_SETS }) set!: StarterSetCode;
  @ApiProperty({ type: () => SpecSheetView }) specSheet!: SpecSheetView;
  @ApiProperty({ type: () => IntervalPlanView }) intervalPlan!: IntervalPlanView;
}

export class TakenStarterSets {
  @ApiProperty({ type: () => [TakenStarterSet] }) items!: TakenStarterSet[];
}
