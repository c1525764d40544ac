import { ApiProperty } from '@nestjs/swagger';
import { DECISION_ACTIONS, type DecisionAction } from '../../domain/decisions/actions.js';
import { DECISION_KINDS, type DecisionKind } from '../../domain/decisions/decisions.js';
import { DeliveryTroubleView } from '../../telling/delivery-troubles/delivery-trouble.dto.js';
import { MessageView } from '../../platform/words/message.dto.js';

class DecisionVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({ type: String, format: 'uuid', nullable: true }) depotId!: string | null;
}

export class ActionLink {
  @ApiProperty({ enum: DECISION_ACTIONS }) action!: DecisionAction;
  @ApiProperty({ enum: ['GET', 'POST'] }) method!: 'GET' | 'POST';
  @ApiProperty({ example: '/v1/due-list/0198f0c2-0000-7000-8000-000000000000/postpone' }) path!: string;
}

export class MatterView {
  @ApiProperty({ enum: DECISION_KINDS }) kind!: DecisionKind;
  @ApiProperty({ format: 'date-time', description: 'A day counts from its midnight in UTC' }) since!: string;
  @ApiProperty({ format: 'uuid', description: 'Of the line, alert, defect, report or reading' }) id!: string;
  @ApiProperty({ type: () => [MessageView], description: 'What is to be decided, then why' })
  reasons!: MessageView[];
  @ApiProperty({ type: () => [ActionLink], description: 'What fits, and the token may do' })
  actions!: ActionLink[];
}

export class VehicleToDecide {
  @ApiProperty({ type: () => DecisionVehicle }) vehicle!: DecisionVehicle;
  @ApiProperty({ enum: DECISION_KINDS, description: 'The worst of its matters, which places it' })
  worst!: DecisionKind;
  @ApiProperty({
    type: () => [MatterView],
    description: 'The worst first, at most twenty of each kind',
  })
  matters!: MatterView[];
}

/** What needs a decision now, by vehicle, the worst first. */
export class TodayPage {
  @ApiProperty({ format: 'date', description: "Today in the fleet's zone; later pages keep it" })
  asOf!: string;
  @ApiProperty({ type: () => [VehicleToDecide] }) items!: VehicleToDecide[];
  @ApiProperty({
    type: () => [MatterView],
    description:
      'What is about no single vehicle, such as a bad batch of parts; the oldest first, at most twenty, on the first page',
  })
  fleetMatters!: MatterView[];
  @ApiProperty({
    type: () => [DeliveryTroubleView],
    description: 'Why reminders may be late or not arriving; for managers, on the first page',
  })
  deliveryTroubles!: DeliveryTroubleView[];
  @ApiProperty({ type: String, nullable: true, description: 'Cursor of the next page; null on the last' })
  next!: string | null;
}
