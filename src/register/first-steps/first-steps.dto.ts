import { ApiProperty } from '@nestjs/swagger';
import { MessageView } from '../../platform/words/message.dto.js';

/** The steps of a new fleet, in the order to take them. */
export const FIRST_STEPS = [
  'depot',
  'vehicles',
  'sheets',
  'plans',
  'usage',
  'target',
  'target-test',
  'second-person',
  'ready-made',
] as const;
export type FirstStep = (typeof FIRST_STEPS)[number];

class StepRoute {
  @ApiProperty({ example: 'POST' }) method!: string;
  @ApiProperty({ example: '/v1/depots' }) path!: string;
}

class VehiclesLacking {
  @ApiProperty({ type: 'integer', minimum: 0 }) count!: number;
  @ApiProperty({ description: 'There may be more: not all vehicles were looked at' }) orMore!: boolean;
}

export class FirstStepView {
  @ApiProperty({ enum: FIRST_STEPS }) step!: FirstStep;
  @ApiProperty() done!: boolean;
  @ApiProperty({ type: () => MessageView, description: 'Why it matters' }) why!: MessageView;
  @ApiProperty({ type: () => [StepRoute], description: 'What does it' }) routes!: StepRoute[];
  @ApiProperty({
    type: () => VehiclesLacking,
    nullable: true,
    description: 'For sheets and plans: the vehicles that have none, without those that are disposed of',
  })
  vehiclesLacking!: VehiclesLacking | null;
}

export class FirstStepsView {
  @ApiProperty({ description: 'All steps are done' }) done!: boolean;
  @ApiProperty({
    enum: FIRST_STEPS,
    nullable: true,
    description: 'The first that is not done; null if all are',
  })
  next!: FirstStep | null;
  @ApiProperty({ type: () => [FirstStepView], description: 'In the order to take them' })
  items!: FirstStepView[];
}
