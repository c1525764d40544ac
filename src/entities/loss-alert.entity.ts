import type { LossEvidence } from '../domain/loss/facts/types.js';
import type { Message } from '../domain/message.js';
import type { CircuitName } from '../domain/vehicles/circuits.js';
import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Vehicle } from './vehicle.entity.js';

export type AlertStatus = 'raised' | 'acknowledged' | 'shelved' | 'cleared';

/**
 * A finding about coolant loss or early return. It is a conclusion from the facts and from what
 * people did about it.
 */
@Entity('loss_alerts')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'loss_alerts_vehicle_fk' })
@Check('loss_alerts_status_ck', `"status" in ('raised', 'acknowledged', 'shelved', 'cleared')`)
@Index('loss_alerts_raised_ix', ['fleetId', 'raisedAt', 'id'])
@Index('loss_alerts_open_ix', ['fleetId', 'raisedAt', 'id'], { where: `is_standing and status <> 'cleared'` })
@Index('loss_alerts_of_fleet_ix', ['fleetId', 'raisedAt', 'id'], {
  where: `is_standing and status <> 'cleared' and vehicle_id is null`,
})
@Index('loss_alerts_depot_ix', ['fleetId', 'depotId', 'raisedAt', 'id'], {
  where: `is_standing and status <> 'cleared'`,
})
@Index('loss_alerts_depot_cleared_ix', ['fleetId', 'depotId', 'raisedAt', 'id'], {
  where: `is_standing and status = 'cleared'`,
})
@Index('loss_alerts_key_uq', { synchronize: false })
export class LossAlert {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'loss_alerts_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'loss_alerts_pk' }) id!: string;
  @Column('uuid', { nullable: true }) vehicleId!: string | null;
  /** Where its vehicle is kept. The database sets it, and follows a vehicle that moves. */
  @Column('uuid', { nullable: true }) depotId!: string | null;
  /** Kind and first evidence. They identify the same alert when it is concluded again. */
  @Column('text') key!: string;
  @Column('text') kind!: string;
  /** Null: the vehicle's first; for a batch of parts, none. */
  @Column('text', { nullable: true }) circuit!: CircuitName | null;
  @Column('text') status!: AlertStatus;
  @Column('timestamp with time zone') raisedAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) clearedAt!: Date | null;
  @Column('text', { nullable: true }) clearedBy!: string | null;
  @Column('timestamp with time zone', { nullable: true }) shelvedUntil!: Date | null;
  @Column('boolean', { default: false }) returned!: boolean;
  @Column('jsonb', { default: [] }) members!: string[];
  @Column('jsonb') evidence!: LossEvidence[];
  @Column('jsonb') computed!: Record<string, unknown>;
  @Column('jsonb') checkNext!: Message[];
  @Column('jsonb') cautions!: Message[];
  /** False when its facts were voided. The alert is kept because people may have acted on it. */
  @Column('boolean', { default: true }) isStanding!: boolean;
}

/** What someone did about an alert. Append-only, and an input to the conclusion. */
@Entity('loss_alert_actions')
@ForeignKey(() => LossAlert, ['fleetId', 'alertId'], ['fleetId', 'id'], {
  name: 'loss_alert_actions_alert_fk',
})
@Check('loss_alert_actions_action_ck', `"action" in ('acknowledge', 'shelve', 'clear')`)
@Index('loss_alert_actions_alert_ix', ['fleetId', 'alertId', 'at'])
export class LossAlertAction {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'loss_alert_actions_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'loss_alert_actions_pk' }) id!: string;
  @Column('uuid') alertId!: string;
  @Column('timestamp with time zone') at!: Date;
  @Column('text') action!: 'acknowledge' | 'shelve' | 'clear';
  @Column('timestamp with time zone', { nullable: true }) until!: Date | null;
  @Column('text', { nullable: true }) note!: string | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
}
