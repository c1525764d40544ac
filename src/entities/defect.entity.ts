import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { DefectDecision as Decided, DefectSource, DefectState } from '../domain/defects/defect.js';
import { JobReport } from './job-report.entity.js';
import { Reading } from './reading.entity.js';
import { Vehicle } from './vehicle.entity.js';

/** What a driver, a mechanic or an inspection reported as wrong with a vehicle. */
@Entity('defects')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'defects_vehicle_fk' })
@ForeignKey(() => JobReport, ['fleetId', 'repairedById'], ['fleetId', 'id'], {
  name: 'defects_repaired_by_fk',
})
@ForeignKey(() => Reading, ['fleetId', 'topUpReadingId'], ['fleetId', 'id'], { name: 'defects_top_up_fk' })
@Check('defects_top_up_ck', `is_top_up or num_nonnulls(added_l, top_up_reading_id) = 0`)
@Check('defects_source_ck', `source in ('driver', 'mechanic', 'inspection')`)
@Check('defects_state_ck', `state in ('reported', 'triaged', 'dismissed', 'repaired')`)
@Check('defects_repaired_ck', `(state = 'repaired') = (repaired_by_id is not null)`)
@Index('defects_vehicle_ix', ['fleetId', 'vehicleId', 'reportedAt', 'id'])
@Index('defects_reported_ix', ['fleetId', 'reportedAt', 'id'])
@Index('defects_state_ix', ['fleetId', 'state', 'reportedAt', 'id'])
@Index('defects_open_ix', ['fleetId', 'reportedAt', 'id'], { where: `state in ('reported', 'triaged')` })
@Index('defects_unseen_ix', ['fleetId', 'vehicleId'], { where: `via_label and state = 'reported'` })
@Index('defects_top_up_ix', ['fleetId', 'topUpReadingId'], { where: 'top_up_reading_id is not null' })
@Index('defects_held_top_up_ix', ['fleetId', 'reportedAt', 'id'], {
  where: `is_top_up and top_up_reading_id is null and state in ('reported', 'triaged')`,
})
@Index('defects_token_ix', ['fleetId', 'tokenId', 'reportedAt', 'id'])
@Index('defects_repaired_by_ix', ['fleetId', 'repairedById'], { where: 'repaired_by_id is not null' })
export class Defect {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'defects_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'defects_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('timestamp with time zone') reportedAt!: Date;
  /** Name or badge. */
  @Column('text', { nullable: true }) reportedBy!: string | null;
  @Column('text') source!: DefectSource;
  @Column('text') what!: string;
  /** What it seems to be about, and what seems to be needed. */
  @Column('text', { nullable: true }) component!: string | null;
  @Column('text', { nullable: true }) action!: string | null;
  @Column('text', { nullable: true }) item!: string | null;
  /** As it was read when the defect was reported. It is no usage reading. */
  @Column('double precision', { nullable: true }) odometerKm!: number | null;
  @Column('double precision', { nullable: true }) engineHours!: number | null;
  /** A conclusion, by the decisions and the jobs. */
  @Column('text', { default: 'reported' }) state!: DefectState;
  /** The job that repaired it. A conclusion. */
  @Column('uuid', { nullable: true }) repairedById!: string | null;
  /** The vehicle's usage when it was reported. A conclusion. */
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  /** Reported by the label on the vehicle, so nobody knows by whom. */
  @Column('boolean', { default: false }) viaLabel!: boolean;
  /** Whoever reported it also added coolant or water. */
  @Column('boolean', { default: false }) isTopUp!: boolean;
  /** About how much; null: not said. */
  @Column('double precision', { nullable: true }) addedL!: number | null;
  /** The reading that counts it; null: nobody has accepted it, so it counts for nothing. */
  @Column('uuid', { nullable: true }) topUpReadingId!: string | null;
  /** SHA-256 of the content. Identifies the same report when it is posted again. */
  @Column('bytea') contentHash!: Buffer;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  /** The subject of the sign-in that posted it; null for a token. */
  @Column('text', { nullable: true }) postedBy!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
}

/** What a mechanic or a manager decided about a defect. The latest decision counts. */
@Entity('defect_decisions')
@ForeignKey(() => Defect, ['fleetId', 'defectId'], ['fleetId', 'id'], { name: 'defect_decisions_defect_fk' })
@Check('defect_decisions_kind_ck', `kind in ('triage', 'dismiss')`)
@Check(
  'defect_decisions_triage_ck',
  `num_nonnulls(component, action, vehicle_stays) = case kind when 'triage' then 3 else 0 end`,
)
@Check('defect_decisions_dismiss_ck', `kind = 'triage' or reason is not null`)
@Index('defect_decisions_defect_ix', ['fleetId', 'defectId', 'at', 'id'])
export class DefectDecision {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'defect_decisions_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'defect_decisions_pk' }) id!: string;
  @Column('uuid') defectId!: string;
  @Column('timestamp with time zone') at!: Date;
  @Column('text') kind!: Decided['kind'];
  /** Name or badge. */
  @Column('text') decidedBy!: string;
  @Column('text', { nullable: true }) component!: string | null;
  @Column('text', { nullable: true }) action!: string | null;
  @Column('text', { nullable: true }) item!: string | null;
  @Column('date', { nullable: true }) dueOn!: string | null;
  /** Whether the vehicle must not be driven until it is repaired. */
  @Column('boolean', { nullable: true }) vehicleStays!: boolean | null;
  /** Why it need not be repaired; of a triage, a note. */
  @Column('text', { nullable: true }) reason!: string | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
}
