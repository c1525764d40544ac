import { Check, Column, Entity, PrimaryColumn } from 'typeorm';
import type { CommonPractice } from '../domain/evaluation/common-practice.js';
import type { UnitSystem } from '../domain/quantities/measures.js';
import type { Language } from '../platform/words/languages.js';

/** The tenant: one organisation's vehicles, rules and people. */
@Entity('fleets')
@Check('fleets_units_ck', `"units" in ('us', 'si')`)
export class Fleet {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleets_pk' }) id!: string;
  @Column('text') name!: string;
  @Column('text') timeZone!: string;
  @Column('text') units!: UnitSystem;
  @Column('text', { default: 'en' }) language!: Language;
  /** What the fleet changed of the trade's defaults. */
  @Column('jsonb', { default: {} }) practice!: Partial<CommonPractice>;
  /**
   * Greatest number of days between a due line's window opening and its due point: bounds every
   * read of the due list.
   */
  @Column('integer', { default: 0 }) greatestLeadDays!: number;
  /** Greatest number of days between a due point and the end of its grace. */
  @Column('integer', { default: 0 }) greatestGraceDays!: number;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

/**
 * A number that rises with every change a fleet's readers could see: what the due list's ETag is
 * made of.
 */
@Entity('fleet_changes')
export class FleetChange {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleet_changes_pk' }) fleetId!: string;
  @Column('bigint', { default: 0 }) number!: number;
}
