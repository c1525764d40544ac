import { ApiProperty } from '@nestjs/swagger';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import type { DueLineView } from '../../conclusions/due-list/due-line-view.js';
import { DueLineItem } from '../../conclusions/due-list/due-list.dto.js';
import { LossAlertView } from '../../conclusions/loss-alerts/loss-alert.dto.js';
import { Choice, Identifier } from '../../platform/fields/fields.js';

export class DueListEventsQuery {
  @Identifier({ optional: true, description: 'Also lines that leave this depot' }) depotId?: string;
  @Choice(COMPONENTS, { optional: true, description: 'Of due lines; loss alerts have none' })
  component?: string;
  @Choice(ACTIONS, { optional: true, description: 'Of due lines' }) action?: string;
  @Identifier({ optional: true }) vehicleId?: string;
}

const day = { format: 'date', description: "Today in the fleet's zone" } as const;

/** The data of a `due-line` event. */
export class DueLineEventData {
  @ApiProperty(day) asOf!: string;
  @ApiProperty({ description: 'False once it no longer applies; it is then in no list' }) isOpen!: boolean;
  @ApiProperty({ type: () => DueLineItem, description: 'The line as the due list shows it now' })
  line!: DueLineView;
}

/** The data of a `loss-alert` event. */
export class LossAlertEventData {
  @ApiProperty({ type: () => LossAlertView, description: 'The alert as it stands now' })
  alert!: LossAlertView;
}

/** The data of a `day` event: another day has begun, and states have changed by themselves. */
export class DayEventData {
  @ApiProperty(day) asOf!: string;
}

/** The data of a `reset` event: the events since then cannot be sent; reload the list. */
export class ResetEventData {
  @ApiProperty({
    enum: ['too-old', 'unknown', 'moved'],
    description:
      'The client was away for too long, its id is unknown, or a line went to a depot that the token is not bound to and must be removed',
  })
  reason!: 'too-old' | 'unknown' | 'moved';
}
