import { ApiProperty } from '@nestjs/swagger';
import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../domain/coolant/coolant.js';
import { type Action, ACTIONS, type Component, COMPONENTS } from '../domain/intervals/types.js';
import { type Preparation, PREPARATIONS } from '../domain/visits/labour-hours.js';
import type { Quantity } from '../domain/quantities/units.js';
import {
  Amount,
  Choice,
  Choices,
  Flag,
  Nested,
  NestedList,
  QuantityOf,
  Text,
  Texts,
} from '../platform/fields/fields.js';
import { pageClass } from '../platform/pages/pages.js';

/** No cooling system is sealed or tested beyond this: about 58 psi. */
const HIGHEST_SYSTEM_PRESSURE_KPA = 400;

export const HOLD_TEST_METHODS = ['vacuum', 'pressure'] as const;
export type HoldTestMethod = (typeof HOLD_TEST_METHODS)[number];

const ADDITIVE_UNITS =
  'SCA units per US gallon; for an IAT coolant 1.5 to 3.0 unless given (common practice)';

export class CoolantConditionSpec {
  @Flag({
    optional: true,
    description:
      'False for a light vehicle: the limits of common practice for heavy-duty IAT coolants are then not used',
  })
  heavyDuty?: boolean | null;
  @Flag({
    optional: true,
    description:
      'Coolant runs around the cylinder liners, so that nitrite must keep them from cavitating; as heavyDuty unless given',
  })
  wetLiners?: boolean | null;
  @Amount({
    optional: true,
    min: 0,
    max: 14,
    description: '8.5 for an IAT coolant unless given (common practice)',
  })
  pHMin?: number | null;
  @Amount({
    optional: true,
    min: 0,
    max: 14,
    description: '10.5 for an IAT coolant unless given (common practice)',
  })
  pHMax?: number | null;
  @Amount({
    optional: true,
    min: 0,
    max: 100_000,
    description:
      'mg/L, for any technology; unless given 300 for NOAT, and 800 for an IAT coolant around wet liners (from memory)',
  })
  nitriteMinMgPerL?: number | null;
  @Amount({
    optional: true,
    min: 0,
    max: 100_000,
    description: 'mg/L, for any technology',
  })
  nitriteMaxMgPerL?: number | null;
  @Amount({ optional: true, min: 0, max: 100_000, description: 'mg/L' }) molybdateMinMgPerL?: number | null;
  @Amount({ optional: true, min: 0, max: 100_000, description: 'mg/L' }) molybdateMaxMgPerL?: number | null;
  @Amount({ optional: true, min: 0, max: 100, description: ADDITIVE_UNITS })
  scaMinUnitsPerGallon?: number | null;
  @Amount({ optional: true, min: 0, max: 100, description: ADDITIVE_UNITS })
  scaMaxUnitsPerGallon?: number | null;
  @Amount({
    optional: true,
    min: 0,
    max: 100,
    description: 'mL of 0.1 N acid for 10 mL of coolant (ASTM D1121)',
  })
  reserveAlkalinityMinMl?: number | null;
}

/** A bottle of additive: so much of it raises so much coolant by so much. */
export class AdditiveSpec {
  @Text({ optional: true, max: 120, description: 'As on the bottle' }) product?: string | null;
  @QuantityOf('volume', {
    min: 0.001,
    description: 'So much additive, in the unit on the bottle; doses are told in it',
    example: { value: 1, unit: 'pt' },
  })
  amount!: Quantity;
  @QuantityOf('volume', {
    min: 0.001,
    description: 'So much coolant is raised by that amount',
    example: { value: 1, unit: 'gal' },
  })
  treats!: Quantity;
  @Amount({ optional: true, min: 0.01, max: 1000, description: 'SCA units per US gallon that it raises by' })
  raisesScaUnitsPerGallon?: number | null;
  @Amount({ optional: true, min: 0.01, max: 1_000_000 }) raisesNitriteMgPerL?: number | null;
  @Amount({ optional: true, min: 0.01, max: 1_000_000 }) raisesMolybdateMgPerL?: number | null;
}

export class CoolantSpec {
  @Choice(COOLANT_BASES) base!: CoolantBase;
  @Choice(COOLANT_TECHNOLOGIES, { optional: true }) technology?: CoolantTechnology | null;
  @QuantityOf('volume', { min: 0.1, description: 'What the whole system holds' }) capacity!: Quantity;
  @QuantityOf('volume', { optional: true, min: 0.1, description: 'What comes out when it is drained' })
  drainable?: Quantity | null;
  @Amount({ optional: true, min: 0, max: 100, description: 'Volume % of concentrate to fill with' })
  targetStrengthPercent?: number | null;
  @Amount({ optional: true, min: 0, max: 100, description: 'Greatest strength, volume %; 60 unless given' })
  strengthMax?: number | null;
  @QuantityOf('pressure', { optional: true, min: 1, max: HIGHEST_SYSTEM_PRESSURE_KPA })
  capRating?: Quantity | null;
  @QuantityOf('pressure', {
    optional: true,
    min: 1,
    max: HIGHEST_SYSTEM_PRESSURE_KPA,
    description: "Greatest pressure it may be tested at: the lower of this and the cap's rating counts",
  })
  maxTestPressure?: Quantity | null;
  @QuantityOf('temperature', { optional: true, description: 'Where the thermostat begins to open' })
  thermostatOpens?: Quantity | null;
  @QuantityOf('temperature', { optional: true, description: 'Where the vehicle warns of overheating' })
  highTemperatureAlarm?: Quantity | null;
  @QuantityOf('volume', {
    optional: true,
    min: 0.05,
    description:
      'What lies between MIN and MAX on the reservoir; by it a level told in words counts for the loss watch',
  })
  litresMinToMax?: Quantity | null;
  @Nested(() => AdditiveSpec, {
    optional: true,
    description: 'The additive that makes up for what the coolant lacks',
  })
  additive?: AdditiveSpec | null;
  @Nested(() => CoolantConditionSpec, {
    optional: true,
    description: "What a coolant's condition is judged by",
  })
  condition?: CoolantConditionSpec | null;
}

export class HoldTestSpec {
  @Choice(HOLD_TEST_METHODS) method!: HoldTestMethod;
  // What is impossible is told with its reason and the unit probably meant; these limits only keep numbers finite.
  @QuantityOf('vacuum', { optional: true, min: -5000, max: 5000, description: 'A vacuum as at sea level' })
  target?: Quantity | null;
  @Amount({ optional: true, min: 0.5, max: 240 }) minutes?: number | null;
  @QuantityOf('vacuum', {
    optional: true,
    min: -5000,
    max: 5000,
    description: 'Loss allowed in these minutes',
  })
  allowedLoss?: Quantity | null;
}

export class FastenerSpec {
  @Text({ max: 80, description: 'Unique on the sheet; torque sets name it' }) name!: string;
  @Amount({ min: 1, max: 200, integer: true }) count!: number;
  @Choice(COMPONENTS, {
    optional: true,
    description:
      'What it holds: a job card lists it when that is taken apart, and a drain plug (component coolant) when the coolant is drained. Unless given, with every part that has bolts',
  })
  component?: Component | null;
  @QuantityOf('torque', { optional: true, min: 0.1 }) torque?: Quantity | null;
  @Amount({
    optional: true,
    min: 0,
    max: 50,
    description: 'Of the torque; 10 unless given (common practice)',
  })
  tolerancePercent?: number | null;
  @QuantityOf('torque', { optional: true, min: 0.1, description: 'Least torque, together with max' })
  min?: Quantity | null;
  @QuantityOf('torque', { optional: true, min: 0.1, description: 'Greatest torque, together with min' })
  max?: Quantity | null;
  @Text({ optional: true, max: 120, description: 'Further turning after the torque, in words' })
  angle?: string | null;
}

export class BeltSpec {
  @Text({ max: 80, description: 'Unique among the belts; job lines and intervals name it as their item' })
  name!: string;
  @Text({ optional: true, max: 40, example: '6PK1880' }) designation?: string | null;
}

export class PartSpec {
  @Choice(COMPONENTS) component!: Component;
  @Text({ max: 200 }) description!: string;
  @Amount({ optional: true, min: 1, max: 1000, integer: true, description: '1 unless given' })
  quantity?: number | null;
  @Text({ optional: true, max: 80 }) partNumber?: string | null;
}

export class PreparationSpec {
  @Choice(PREPARATIONS) preparation!: Preparation;
  @Amount({ min: 0, max: 100, description: 'Once a visit, however many lines need it' }) hours!: number;
}

export class LineLabourSpec {
  @Choice(COMPONENTS) component!: Component;
  @Choice(ACTIONS) action!: Action;
  @Amount({ min: 0, max: 200, description: 'Once the way to it is open' }) hours!: number;
  @Choices(PREPARATIONS, {
    optional: true,
    description: 'What opens the way to it, besides taking the vehicle in; as for any vehicle unless given',
  })
  preparations?: Preparation[] | null;
}

export class LabourSpec {
  @NestedList(() => PreparationSpec, { optional: true, max: PREPARATIONS.length })
  preparations?: PreparationSpec[] | null;
  @NestedList(() => LineLabourSpec, { optional: true, max: COMPONENTS.length * ACTIONS.length })
  lines?: LineLabourSpec[] | null;
}

export class SpecSheetInput {
  @Text({ max: 120 }) name!: string;
  @Text({ optional: true, max: 80, description: 'Which cooling circuit, where there is more than one' })
  circuit?: string | null;
  @Nested(() => CoolantSpec) coolant!: CoolantSpec;
  @Nested(() => HoldTestSpec, { optional: true, description: 'Common practice where not given' })
  holdTest?: HoldTestSpec | null;
  @NestedList(() => FastenerSpec, { optional: true, max: 100 }) fasteners?: FastenerSpec[] | null;
  @NestedList(() => BeltSpec, { optional: true, max: 20 }) belts?: BeltSpec[] | null;
  @Texts({ optional: true, max: 80, maxItems: 40, description: 'Names, each once' }) hoses?: string[] | null;
  @NestedList(() => PartSpec, { optional: true, max: 200 }) parts?: PartSpec[] | null;
  @Nested(() => LabourSpec, {
    optional: true,
    description: 'Standard hours that visits are planned with; common practice where not given',
  })
  labour?: LabourSpec | null;
}

export class SpecSheetView extends SpecSheetInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() version!: number;
}

export const SpecSheetPage = pageClass(SpecSheetView, 'SpecSheetPage');
