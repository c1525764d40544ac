import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../../domain/coolant/coolant.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { Amount, Choice, Flag, Nested, QuantityOf, Text } from '../../platform/fields/fields.js';

/** No cooling system is sealed or tested at more than this: about 58 psi. */
const HIGHEST_SYSTEM_PRESSURE_KPA = 400;

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
      'Coolant runs around the cylinder liners, and nitrite must protect them from cavitation; same as heavyDuty unless given',
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
  @Amount({
    optional: true,
    min: 0.1,
    max: 100_000,
    description:
      'µS/cm at 25 °C, for a low-conductivity coolant, from the vehicle maker; there is no default',
  })
  conductivityMaxUsPerCm?: number | null;
}

/** A bottle of additive: how much of it raises how much coolant by how many units. */
export class AdditiveSpec {
  @Text({ optional: true, max: 120, description: 'As on the bottle' }) product?: string | null;
  @QuantityOf('volume', {
    min: 0.001,
    description: 'Amount of additive, in the unit on the bottle; doses are given in this unit',
    example: { value: 1, unit: 'pt' },
  })
  amount!: Quantity;
  @QuantityOf('volume', {
    min: 0.001,
    description: 'Amount of coolant that this additive treats',
    example: { value: 1, unit: 'gal' },
  })
  treats!: Quantity;
  @Amount({ optional: true, min: 0.01, max: 1000, description: 'Rise in SCA units per US gallon' })
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
      'Volume between MIN and MAX on the reservoir; the loss watch needs it to count a level given in words',
  })
  litresMinToMax?: Quantity | null;
  @Nested(() => AdditiveSpec, {
    optional: true,
    description: 'The additive that restores the coolant',
  })
  additive?: AdditiveSpec | null;
  @Nested(() => CoolantConditionSpec, {
    optional: true,
    description: "Limits for judging the coolant's condition",
  })
  condition?: CoolantConditionSpec | null;
}
