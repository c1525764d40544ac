import { OmitType } from '@nestjs/swagger';
import { COOLANT_BASES, type CoolantBase } from '../../domain/coolant/coolant.js';
import { FREEZE_POINT_METHODS, type FreezePointMethod } from '../../domain/strength/freeze-point-value.js';
import {
  type Action,
  ACTIONS,
  type Component,
  COMPONENTS,
  type Duty,
  DUTIES,
} from '../../domain/intervals/types.js';
import { type Quantity, type Unit, unitsOf } from '../../domain/quantities/units.js';
import { IntervalInput } from '../../register/interval-plans/interval-plan.dto.js';
import {
  Amount,
  Amounts,
  Choice,
  CivilDate,
  CivilDateOrInstant,
  Flag,
  Instant,
  Nested,
  NestedList,
  QuantityByChoice,
  QuantityOf,
  Text,
  TimeZone,
} from '../../platform/fields/fields.js';
import { TORQUE_SOURCES, type TorqueSource } from '../../domain/fastening/torque-set.js';
import { HOLD_TEST_METHODS, type HoldTestMethod } from '../../domain/pressure/hold-test-reading.js';
import { freezePointUnits } from '../readings/kinds/freeze-point/freeze-point.dto.js';

/**
 * These limits only keep numbers finite. The calculation itself rejects impossible values, with the
 * reason and the unit that was probably meant.
 */
const ANY_PRESSURE = { min: -5000, max: 5000 };
const ANY_TEMPERATURE = { optional: true, min: -300, max: 600 };
const ANY_ELEVATION = { optional: true, min: -10_000, max: 40_000 };
const BAROMETER = { optional: true, ...ANY_PRESSURE };

const MINUTES = { min: 0.05, max: 1440 };
const RPM = { optional: true, min: 0, max: 100_000 };
const PERCENT = { min: 0, max: 100 };

/** Where the work is done. A barometer reading takes precedence over an elevation. */
class Place {
  @QuantityOf('elevation', { ...ANY_ELEVATION, description: 'Above sea level; sea level unless given' })
  elevation?: Quantity | null;
  @QuantityOf('vacuum', {
    ...BAROMETER,
    description:
      'Station pressure (not that of a weather report, which is for sea level), in place of the elevation',
  })
  barometer?: Quantity | null;
}

export class HoldTestCalculation extends Place {
  @Choice(HOLD_TEST_METHODS) method!: HoldTestMethod;
  @QuantityOf('vacuum', { ...ANY_PRESSURE, description: 'What the gauge showed at first, a positive number' })
  start!: Quantity;
  @QuantityOf('vacuum', { ...ANY_PRESSURE, description: 'What it showed at the end' }) end!: Quantity;
  @Amount({ ...MINUTES, description: 'How long it was held' }) minutes!: number;
  @QuantityOf('vacuum', { optional: true, description: 'Smallest step the gauge can be read to' })
  gaugeResolution?: Quantity | null;
  @QuantityOf('vacuum', {
    optional: true,
    ...ANY_PRESSURE,
    description: 'Loss allowed in allowedMinutes; for a vacuum, as at sea level',
  })
  allowedLoss?: Quantity | null;
  @Amount({ optional: true, ...MINUTES, description: '5 unless given (common practice)' })
  allowedMinutes?: number | null;
  @QuantityOf('vacuum', {
    optional: true,
    ...ANY_PRESSURE,
    description: 'To be reached; for a vacuum, as at sea level',
  })
  target?: Quantity | null;
  @QuantityOf('volume', { optional: true, description: 'Of the space under test, for the leak rate' })
  volume?: Quantity | null;
  @Flag({
    optional: true,
    description:
      'The engine stood long enough to be at air temperature. A test without a temperature never passes, unless wet is false',
  })
  engineCold?: boolean | null;
  @Flag({ optional: true, description: 'Coolant was in the system; false: it was drained and dry' })
  wet?: boolean | null;
  @Amount({ optional: true, ...PERCENT, description: 'Of the coolant in a wet system, volume %' })
  strengthPercent?: number | null;
  @QuantityOf('temperature', ANY_TEMPERATURE) coolantTemperature?: Quantity | null;
  @QuantityOf('temperature', ANY_TEMPERATURE) startTemperature?: Quantity | null;
  @QuantityOf('temperature', ANY_TEMPERATURE) endTemperature?: Quantity | null;
  @QuantityOf('pressure', {
    optional: true,
    description: 'A pressure test that exceeds it by more than half a division of the gauge is refused',
  })
  capRating?: Quantity | null;
}

export class FreezePointCalculation {
  @Choice(COOLANT_BASES) base!: CoolantBase;
  @Choice(COOLANT_BASES, {
    optional: true,
    description: "The base that the instrument's scale is for; the coolant's own unless given",
  })
  scale?: CoolantBase | null;
  @Choice(FREEZE_POINT_METHODS) method!: FreezePointMethod;
  @QuantityByChoice(freezePointUnits, freezePointUnits({}), {
    description:
      'C or F for refractometer, hydrometer and test-strip; nD or Brix at 20 °C, or % by volume, for the others',
    example: { value: -36, unit: 'C' },
  })
  value!: Quantity;
  @QuantityOf('temperature', {
    ...ANY_TEMPERATURE,
    description: 'Protect to this temperature; without it nothing is judged',
  })
  designLowTemperature?: Quantity | null;
}

export class DilutionCalculation {
  @QuantityOf('volume', { description: 'What the whole system holds' }) capacity!: Quantity;
  @Amount({ ...PERCENT, description: 'In the system, volume %' }) strengthPercent!: number;
  @Amount({ ...PERCENT, description: 'Strength of what is poured in, volume %' })
  refillStrengthPercent!: number;
  @Amount({ ...PERCENT, description: 'Wanted, volume %' }) targetStrengthPercent!: number;
}

export class BoilOverCalculation extends Place {
  @Choice(COOLANT_BASES) base!: CoolantBase;
  @Amount({ ...PERCENT, description: 'Volume %' }) strengthPercent!: number;
  @QuantityOf('pressure', { optional: true, description: 'An open system unless given' })
  capRating?: Quantity | null;
}

export class VacuumFillCalculation extends Place {
  @QuantityOf('vacuum', { ...ANY_PRESSURE, description: 'The vacuum to fill from, a positive number' })
  vacuum!: Quantity;
  @QuantityOf('volume', { optional: true, description: 'Of the evacuated space' }) volume?: Quantity | null;
}

export class TorqueSetCalculation {
  @QuantityOf('torque', { description: 'What each fastener is to be tightened to' }) torque!: Quantity;
  @Amount({ optional: true, ...PERCENT, description: '10 unless given (common practice)' })
  tolerancePercent?: number | null;
  @Amount({ optional: true, min: 1, max: 1000, integer: true, description: 'How many fasteners there are' })
  count?: number | null;
  @Choice(unitsOf('torque'), { description: 'Of values and setTo' }) unit!: Unit;
  @Amounts({
    optional: true,
    min: 0,
    max: 100_000,
    maxItems: 1000,
    description: 'One torque for each fastener',
  })
  values?: number[] | null;
  @Amount({
    optional: true,
    min: 0,
    max: 100_000,
    description: 'In place of values: the torque of all of them',
  })
  setTo?: number | null;
  @Choice(TORQUE_SOURCES, { optional: true, description: "The wrench's setting unless given" })
  source?: TorqueSource | null;
  @Amount({
    optional: true,
    ...PERCENT,
    description: 'Of a measured torque; 4, or 6 up to 10 N·m, unless given (ISO 6789)',
  })
  toolUncertaintyPercent?: number | null;
}

export class BeltCalculation {
  @Text({ optional: true, max: 40, example: '6PK1880' }) designation?: string | null;
  @QuantityOf('size', { optional: true, description: 'How far a pulley is out of line' })
  offset?: Quantity | null;
  @QuantityOf('size', { optional: true, description: 'Free length of belt the offset was measured over' })
  span?: Quantity | null;
  @QuantityOf('size', { optional: true }) driverDiameter?: Quantity | null;
  @QuantityOf('size', { optional: true }) drivenDiameter?: Quantity | null;
  @Amount(RPM) driverRpm?: number | null;
  @Amount(RPM) drivenRpm?: number | null;
}

export class ProjectionReading {
  @Instant() readAt!: string;
  @QuantityOf('distance', { optional: true }) odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
}

/**
 * An interval as in a plan. Component and action are optional, because they do not affect the
 * result.
 */
export class ProjectionInterval extends OmitType(IntervalInput, ['component', 'action']) {
  @Choice(COMPONENTS, { optional: true }) component?: Component | null;
  @Choice(ACTIONS, { optional: true }) action?: Action | null;
}

export class ProjectionLastDone {
  @CivilDate() on!: string;
  @QuantityOf('distance', {
    optional: true,
    description: 'Unless given, interpolated from the readings around that day',
  })
  odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
}

export class ProjectionCalculation {
  @NestedList(() => ProjectionReading, { max: 1000, description: 'In any order; none later than asOf' })
  readings!: ProjectionReading[];
  @Nested(() => ProjectionInterval, { optional: true, description: 'Without it only the rate is computed' })
  interval?: ProjectionInterval | null;
  @Nested(() => ProjectionLastDone, { optional: true, description: 'What the interval counts from' })
  lastDone?: ProjectionLastDone | null;
  @Choice(DUTIES, { optional: true, description: 'normal unless given' }) duty?: Duty | null;
  @TimeZone({ optional: true, description: "The fleet's unless given" }) timeZone?: string | null;
  @CivilDateOrInstant({
    optional: true,
    description: 'Today unless given; of an instant, only the date counts',
  })
  asOf?: string | null;
}
