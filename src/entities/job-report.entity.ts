import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Depot } from './depot.entity.js';
import type { Verdict } from '../domain/evaluation/evaluation.js';
import type { Message } from '../domain/message.js';
import { Import } from './import.entity.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * A completed job as the mechanic posted it; a wrong one is voided with a reason, never deleted.
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
   * Where the work was done; where that was not said, the vehicle's depot when the report arrived.
   */
  @Column('uuid', { nullable: true }) depotId!: string | null;
  /** As in the outcome; `pass` where nothing was judged. */
  @Column('text', { default: 'pass' }) verdict!: Verdict;
  /** Released for service beside a failed safety reading. */
  @Column('boolean', { default: false }) isReleasedWithFindings!: boolean;
  @Column('text', { nullable: true }) notes!: string | null;
  /** Done before records began: resets intervals and nothing else. */
  @Column('boolean', { default: false }) isBaseline!: boolean;
  /** SHA-256 of the content, by which the same report posted again is known. */
  @Column('bytea') contentHash!: Buffer;
  @Column('jsonb', { nullable: true }) outcome!: JobOutcome | null;
  /**
   * Usage at the time of the job, by its own counters if believed, else interpolated: a conclusion.
   */
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('text', { nullable: true }) voidReason!: string | null;
  /** The one that this one replaces, which is voided. */
  @Column('uuid', { nullable: true }) supersedesId!: string | null;
  @Column('uuid', { nullable: true }) supersededById!: string | null;
  /** When this one arrived, that one told of the same work already. */
  @Column('uuid', { nullable: true }) possibleDuplicateOfId!: string | null;
  /** The file that brought it, where one did. */
  @Column('uuid', { nullable: true }) importId!: string | null;
  /** Voided with the file that brought it; the same may come again. */
  @Column('boolean', { default: false }) isUndone!: boolean;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
}

/**
 * A due line that a report, or a reading by itself, opened or gave another reason to stay open; as
 * it was then.
 */
export interface OpenedLine {
  id: string;
  component: string;
  action: string;
  item: string | null;
  atOnce: boolean;
  dueOn: string | null;
  /** Why it is open, the worst first. */
  causes: Message[];
}

/** A part of a report that could not be taken as it was, kept for someone to look at. */
export interface HeldPart {
  pointer: string;
  /** What is wrong, and where it stands in the body. */
  faults: { pointer: string; message: Message }[];
  value: unknown;
}

export interface JobOutcome {
  verdict: Verdict;
  resets: string[];
  /** The most pressing first. */
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
  @Column('text', { nullable: true }) partNumber!: string | null;
  @Column('text', { nullable: true }) lot!: string | null;
  @Column('text', { nullable: true }) finding!: string | null;
  /** The component had failed, not merely come due. */
  @Column('boolean', { default: false }) failed!: boolean;
}
