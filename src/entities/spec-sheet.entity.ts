import { Check, Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import type { BeltTensionLimits } from '../domain/belt/belt-tension.js';
import type { CoolantAdditive } from '../domain/coolant-condition/additive-dose.js';
import type { CoolantConditionLimits } from '../domain/coolant-condition/coolant-condition.js';
import type { LabourRules } from '../domain/visits/labour-hours.js';
import type { CircuitName } from '../domain/vehicles/circuits.js';
import { Fleet } from './fleet.entity.js';

export interface SpecFastener {
  name: string;
  count: number;
  /** The component it holds. Missing on older sheets, which had no such field. */
  component?: string | null;
  torqueNm: number | null;
  tolerancePercent: number | null;
  minNm: number | null;
  maxNm: number | null;
  /** The further turn after the torque, in the vehicle maker's words. */
  angle: string | null;
}

export interface SpecBelt {
  name: string;
  designation: string | null;
  /** Missing on sheets from before it could be said, as is the next. */
  tension?: BeltTensionLimits | null;
  tensionerArmSwingMaxMm?: number | null;
}

export interface SpecPart {
  component: string;
  description: string;
  quantity: number;
  partNumber: string | null;
}

/** The limits for the coolant's condition. Where one is missing, common practice applies. */
export interface SpecCondition extends CoolantConditionLimits {
  heavyDuty?: boolean | null;
  wetLiners?: boolean | null;
}

/** What a sheet says of one coolant circuit. */
export interface CircuitSpec {
  coolantBase: 'ethylene-glycol' | 'propylene-glycol';
  coolantTechnology: string | null;
  capacityL: number;
  drainableL: number | null;
  targetStrengthPercent: number | null;
  strengthMaxPercent: number | null;
  capRatingKpa: number | null;
  maxTestPressureKpa: number | null;
  thermostatOpensC: number | null;
  highTemperatureAlarmC: number | null;
  /** Volume between the MIN and MAX marks of the reservoir. */
  minToMaxL: number | null;
  additive: CoolantAdditive | null;
  coolantCondition: SpecCondition | null;
  holdTestMethod: 'vacuum' | 'pressure' | null;
  holdTestTargetKpa: number | null;
  holdTestMinutes: number | null;
  holdTestAllowedLossKpa: number | null;
  parts: SpecPart[];
  /** Hours of work that differ from common practice. */
  labour: LabourRules | null;
}

/** A circuit besides the first. */
export interface SpecCircuit extends CircuitSpec {
  circuit: CircuitName;
}

/**
 * What a powertrain's cooling system and belt drive need. Its own columns are of the first circuit.
 */
@Entity('spec_sheets')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'spec_sheets_fleet_fk' })
@Unique('spec_sheets_name_uq', ['fleetId', 'name'])
@Check('spec_sheets_base_ck', `"coolant_base" in ('ethylene-glycol', 'propylene-glycol')`)
@Check('spec_sheets_capacity_ck', `"capacity_l" > 0`)
@Check('spec_sheets_confirmed_ck', `("confirmed_at" is null) = ("confirmed_by" is null)`)
@Check(
  'spec_sheets_circuit_ck',
  `"circuit" in ('engine', 'charge-air', 'power-electronics', 'battery', 'cabin')`,
)
export class SpecSheet implements CircuitSpec {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spec_sheets_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spec_sheets_pk' }) id!: string;
  @Column('text') name!: string;
  @Column('text', { default: 'engine' }) circuit!: CircuitName;
  @Column('text', { nullable: true }) circuitNote!: string | null;
  @Column('jsonb', { default: [] }) otherCircuits!: SpecCircuit[];
  @Column('text') coolantBase!: 'ethylene-glycol' | 'propylene-glycol';
  @Column('text', { nullable: true }) coolantTechnology!: string | null;
  @Column('double precision') capacityL!: number;
  @Column('double precision', { nullable: true }) drainableL!: number | null;
  @Column('double precision', { nullable: true }) targetStrengthPercent!: number | null;
  @Column('double precision', { nullable: true }) strengthMaxPercent!: number | null;
  @Column('double precision', { nullable: true }) capRatingKpa!: number | null;
  @Column('double precision', { nullable: true }) maxTestPressureKpa!: number | null;
  @Column('double precision', { nullable: true }) thermostatOpensC!: number | null;
  @Column('double precision', { nullable: true }) highTemperatureAlarmC!: number | null;
  /** Volume between the MIN and MAX marks of the reservoir. */
  @Column('double precision', { nullable: true }) minToMaxL!: number | null;
  @Column('jsonb', { nullable: true }) additive!: CoolantAdditive | null;
  @Column('jsonb', { nullable: true }) coolantCondition!: SpecCondition | null;
  @Column('text', { nullable: true }) holdTestMethod!: 'vacuum' | 'pressure' | null;
  @Column('double precision', { nullable: true }) holdTestTargetKpa!: number | null;
  @Column('double precision', { nullable: true }) holdTestMinutes!: number | null;
  @Column('double precision', { nullable: true }) holdTestAllowedLossKpa!: number | null;
  @Column('jsonb', { default: [] }) fasteners!: SpecFastener[];
  @Column('jsonb', { default: [] }) belts!: SpecBelt[];
  @Column('text', { array: true, default: [] }) hoses!: string[];
  @Column('jsonb', { default: [] }) parts!: SpecPart[];
  /** Hours of work that differ from common practice. */
  @Column('jsonb', { nullable: true }) labour!: LabourRules | null;
  @Column('integer', { default: 1 }) version!: number;
  /** The ready-made set that it was taken from; null: from none. */
  @Column('text', { nullable: true }) starterSet!: string | null;
  /** When a manager said that it is right for the fleet's vehicles, and who. */
  @Column('timestamp with time zone', { nullable: true }) confirmedAt!: Date | null;
  @Column('text', { nullable: true }) confirmedByKind!: string | null;
  /** The token's id, or the subject of the sign-in. */
  @Column('text', { nullable: true }) confirmedBy!: string | null;
  /**
   * The values that are still ready-made, by their stored names: those of another circuit than the
   * first after its name and a slash.
   */
  @Column('text', { array: true, default: [] }) starterValues!: string[];
}
