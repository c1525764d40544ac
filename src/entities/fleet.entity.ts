import { Check, Column, Entity, PrimaryColumn } from 'typeorm';
import type { CommonPractice } from '../domain/evaluation/common-practice.js';
import type { UnitSystem } from '../domain/quantities/measures.js';
import type { DriverLabels } from '../domain/defects/label-report.js';
import type { Language } from '../platform/words/languages.js';

/** The tenant: one organisation's vehicles, rules and people. */
@Entity('fleets')
@Check('fleets_units_ck', `"units" in ('us', 'si')`)
@Check('fleets_driver_labels_ck', `"driver_labels" in ('none', 'defects', 'defects-and-top-ups')`)
export class Fleet {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleets_pk' }) id!: string;
  @Column('text') name!: string;
  @Column('text') timeZone!: string;
  @Column('text') units!: UnitSystem;
  @Column('text', { default: 'en' }) language!: Language;
  /** What can be reported by the labels on its vehicles, without an account. */
  @Column('text', { default: 'none' }) driverLabels!: DriverLabels;
  /** The fleet's changes to the trade's usual defaults. */
  @Column('jsonb', { default: {} }) practice!: Partial<CommonPractice>;
  /**
   * The greatest number of days between the opening of a due line's window and its due point.
   * Limits every read of the due list.
   */
  @Column('integer', { default: 0 }) greatestLeadDays!: number;
  /** The greatest number of days between a due point and the end of its grace. */
  @Column('integer', { default: 0 }) greatestGraceDays!: number;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

/**
 * A number that rises with every change that a reader of the fleet could see. The ETag of the due
 * list is made from it.
 */
@Entity('fleet_changes')
export class FleetChange {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleet_changes_pk' }) fleetId!: string;
  @Column('bigint', { default: 0 }) number!: number;
}
