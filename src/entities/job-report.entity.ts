import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Depot } from './depot.entity.js';
import type { Verdict } from '../domain/evaluation/evaluation.js';
import type { Message } from '../domain/message.js';
import type { CircuitName } from '../domain/vehicles/circuits.js';
import { FirstCircuit } from './first-circuit.js';
import { Import } from './import.entity.js';
import { Vehicle } from './vehicle.entity.js';
import type { VoidReason } from '../platform/words/void-reason.js';

/**
 * A completed job as the mechanic posted it. A wrong report is voided with a reason, never deleted.
 */
@Entity('job_reports')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'job_reports_vehicle_fk' })
@ForeignKey(() => Depot, ['fleetId', 'workedAtDepotId'], ['fleetId', 'id'], { name: 'job_reports_depot_fk' })
@ForeignKey(() => JobReport, ['fleetId', 'supersedesId'], ['fleetId', 'id'], {
  name: 'job_reports_supersedes_fk',
})
@ForeignKey(() => JobReport, ['fleetId', 'supersededById'], ['fleetId', 'id'], {
  name: 'job_reports_superseded_by_fk',
})
@ForeignKey(() => JobReport, ['fleetId', 'possibleDuplicateOfId'], ['fleetId', 'id'], {
  name: 'job_reports_possible_duplicate_fk',
})
@ForeignKey(() => Import, ['fleetId', 'importId'], ['fleetId', 'id'], { name: 'job_reports_import_fk' })
@Check('job_reports_verdict_ck', `"verdict" in ('pass', 'fail', 'inconclusive')`)
@Check('job_reports_void_ck', `("voided_at" is null) = ("void_reason" is null)`)
@Index('job_reports_vehicle_ix', ['fleetId', 'vehicleId', 'performedAt', 'id'])
@Index('job_reports_depot_ix', ['fleetId', 'workedAtDepotId'], { where: `worked_at_depot_id is not null` })
@Index('job_reports_import_ix', ['fleetId', 'importId'], { where: `import_id is not null` })
@Index('job_reports_supersedes_ix', ['fleetId', 'supersedesId'], { where: 'supersedes_id is not null' })
@Index('job_reports_superseded_by_ix', ['fleetId', 'supersededById'], {
  where: 'superseded_by_id is not null',
})
@Index('job_reports_duplicate_of_ix', ['fleetId', 'possibleDuplicateOfId'], {
  where: 'possible_duplicate_of_id is not null',
})
@Index('job_reports_performed_ix', ['fleetId', 'performedAt', 'id'])
@Index('job_reports_place_ix', ['fleetId', 'depotId', 'performedAt', 'id'])
@Index('job_reports_verdict_ix', ['fleetId', 'verdict', 'performedAt', 'id'], { where: `verdict <> 'pass'` })
@Index('job_reports_released_ix', ['fleetId', 'performedAt', 'id'], {
  where: 'is_released_with_findings and voided_at is null',
})
@Index('job_reports_possible_duplicates_ix', ['fleetId', 'performedAt', 'id'], {
  where: `possible_duplicate_of_id is not null and voided_at is null`,
})
export class JobReport {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'job_reports_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'job_reports_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('timestamp with time zone') performedAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) sentAt!: Date | null;
  @Column('text', { nullable: true }) performedBy!: string | null;
  @Column('double precision', { nullable: true }) odometerKm!: number | null;
  @Column('double precision', { nullable: true }) engineHours!: number | null;
  @Column('double precision', { nullable: true }) elevationM!: number | null;
  @Column('uuid', { nullable: true }) workedAtDepotId!: string | null;
  @Column('text', { nullable: true }) releasedForService!: string | null;
  /**
   * Where the work was done. If the report does not say, the vehicle's depot when the report
   * arrived.
   */
  @Column('uuid', { nullable: true }) depotId!: string | null;
  /** The verdict in `outcome`. It is `pass` when nothing was judged. */
  @Column('text', { default: 'pass' }) verdict!: Verdict;
  /** The vehicle was released for service despite a failed safety reading. */
  @Column('boolean', { default: false }) isReleasedWithFindings!: boolean;
  @Column('text', { nullable: true }) notes!: string | null;
  /** The defects that it says were repaired. */
  @Column('uuid', { array: true, default: {} }) repairedDefects!: string[];
  /** Done before records began. It resets intervals and does nothing else. */
  @Column('boolean', { default: false }) isBaseline!: boolean;
  /** SHA-256 of the content. Identifies the same report when it is posted again. */
  @Column('bytea') contentHash!: Buffer;
  @Column('jsonb', { nullable: true }) outcome!: JobOutcome | null;
  /**
   * Usage at the time of the job: from its own counters if they are believed, otherwise
   * interpolated. A conclusion.
   */
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('jsonb', { nullable: true }) voidReason!: VoidReason | null;
  /** The report that this one replaces. That report is voided. */
  @Column('uuid', { nullable: true }) supersedesId!: string | null;
  @Column('uuid', { nullable: true }) supersededById!: string | null;
  /** An earlier report that already described the same work when this one arrived. */
  @Column('uuid', { nullable: true }) possibleDuplicateOfId!: string | null;
  /** The imported file that brought it, if any. */
  @Column('uuid', { nullable: true }) importId!: string | null;
  /** Voided because its import was undone. The same report may be imported again. */
  @Column('boolean', { default: false }) isUndone!: boolean;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
}

/**
 * A due line that a report or a single reading opened, or gave another reason to stay open, in its
 * state at that time.
 */
export interface OpenedLine {
  id: string;
  component: string;
  action: string;
  item: string | null;
  /** Named where the vehicle had more than one; missing in older reports. */
  circuit?: CircuitName;
  atOnce: boolean;
  dueOn: string | null;
  /** Why it is open, the worst first. */
  causes: Message[];
}

/** A part of a report that could not be accepted as it was. It is kept for someone to check. */
export interface HeldPart {
  pointer: string;
  /** What is wrong, and where in the body. */
  faults: { pointer: string; message: Message }[];
  value: unknown;
}

export interface JobOutcome {
  verdict: Verdict;
  resets: string[];
  /** The most urgent first. */
  followUps: OpenedLine[];
  alerts: string[];
  held: HeldPart[];
}

@Entity('job_lines')
@ForeignKey(() => JobReport, ['fleetId', 'jobReportId'], ['fleetId', 'id'], {
  name: 'job_lines_job_report_fk',
})
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'job_lines_vehicle_fk' })
@Index('job_lines_vehicle_ix', ['fleetId', 'vehicleId', 'jobReportId'])
export class JobLine {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'job_lines_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'job_lines_pk' }) jobReportId!: string;
  @PrimaryColumn('integer', { primaryKeyConstraintName: 'job_lines_pk' }) position!: number;
  @Column('uuid') vehicleId!: string;
  @Column('text') component!: string;
  @Column('text') action!: string;
  @Column('text', { nullable: true }) item!: string | null;
  /** Null: the vehicle's first. */
  @Column('text', { nullable: true }) circuit!: CircuitName | null;
  @Column('text', { nullable: true }) partNumber!: string | null;
  @Column('text', { nullable: true }) lot!: string | null;
  @Column('text', { nullable: true }) finding!: string | null;
  /** The component had failed; it was not merely due. */
  @Column('boolean', { default: false }) failed!: boolean;
  @FirstCircuit() firstCircuit!: CircuitName | null;
}
