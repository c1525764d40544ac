import { applyDecorators } from '@nestjs/common';
import { ApiExtraModels, ApiProperty, getSchemaPath } from '@nestjs/swagger';
import { ArrayMaxSize, IsArray, ValidateBy, ValidateIf, type ValidationArguments } from 'class-validator';
import { LEVEL_WORDS, type LevelWord } from '../domain/checks/level-marks.js';
import type { LevelAfterCooling } from '../domain/checks/warm-up-check.js';
import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../domain/coolant/coolant.js';
import {
  FREEZE_POINT_METHODS,
  FREEZE_POINT_UNITS,
  type FreezePointMethod,
} from '../domain/coolant/freeze-point-value.js';
import type { Quantity, Unit } from '../domain/quantities/units.js';
import { dimensionOf, isUnit, unitsOf } from '../domain/quantities/units.js';
import type { ReadingKind } from '../domain/readings/kinds.js';
import { CoolantConditionInput, TestStripInput } from './condition-inputs.js';
import { AtMost } from '../platform/http/at-most.js';
import {
  Amount,
  Amounts,
  Choice,
  Flag,
  Nested,
  NestedList,
  QuantityOf,
  Text,
} from '../platform/http/fields.js';

const TORQUE_UNITS = unitsOf('torque');

const LEVELS_AFTER_COOLING: readonly LevelAfterCooling[] = ['at-mark', 'below-mark', 'above-mark'];

function freezePointValueFault(value: unknown, method: unknown): string | null {
  const known = FREEZE_POINT_METHODS.find((candidate) => candidate === method);
  const accepted = known
    ? unitsOf(dimensionOf(FREEZE_POINT_UNITS[known]))
    : [...new Set(Object.values(FREEZE_POINT_UNITS))].flatMap((unit) => unitsOf(dimensionOf(unit)));
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return `is needed with its unit, such as {"value": -36, "unit": "${accepted[0]}"}`;
  const { value: amount, unit, ...rest } = value as { value?: unknown; unit?: unknown };
  if (Object.keys(rest).length > 0) return 'has fields other than value and unit';
  if (!isUnit(unit) || !accepted.includes(unit))
    return `has the unit ${JSON.stringify(unit) ?? 'missing'}; accepted for ${known ?? 'a freeze point'} are ${accepted.join(', ')}`;
  return typeof amount === 'number' && Number.isFinite(amount)
    ? null
    : `has the value ${JSON.stringify(amount) ?? 'missing'}; a number is needed`;
}

const methodOf = (args: ValidationArguments | undefined): unknown =>
  args === undefined ? undefined : Reflect.get(args.object, 'method');

/** What the instrument showed; which units are taken depends on the method. */
function FreezePointValue(): PropertyDecorator {
  return applyDecorators(
    ApiProperty({
      type: 'object',
      properties: {
        value: { type: 'number' },
        unit: { type: 'string', enum: ['F', 'C', 'nD', 'Brix', '%'] },
      },
      required: ['value', 'unit'],
      additionalProperties: false,
      example: { value: -36, unit: 'C' },
    }),
    ValidateBy({
      name: 'freezePointValue',
      validator: {
        validate: (value: unknown, args) => freezePointValueFault(value, methodOf(args)) === null,
        defaultMessage: (args) => freezePointValueFault(args?.value, methodOf(args)) ?? 'is not acceptable',
      },
    }),
  );
}

/** The field by which a reading tells what it is. */
const Kind = (kind: ReadingKind): PropertyDecorator => Choice([kind]);

/** Noted, since it is for an emergency alone. */
const TapWater = (): PropertyDecorator =>
  Flag({
    optional: true,
    description: 'Tap water went in, in an emergency; otherwise demineralised or distilled water',
  });

export class HoldTestInput {
  @Kind('hold-test') kind!: 'hold-test';
  @Choice(['vacuum', 'pressure']) method!: 'vacuum' | 'pressure';
  @QuantityOf('vacuum', { description: 'What the gauge showed, as a positive number' }) start!: Quantity;
  @QuantityOf('vacuum') end!: Quantity;
  @Amount({ min: 0.05, max: 1440, description: 'How long it was held' }) minutes!: number;
  @QuantityOf('vacuum', { optional: true, description: 'Smallest step the gauge can be read to' })
  gaugeResolution?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) coolantTemperature?: Quantity | null;
  @Flag({
    optional: true,
    description:
      'The engine stood long enough to be at air temperature. A test that says nothing of its temperature never passes, unless wet is false',
  })
  engineCold?: boolean | null;
  @Flag({ optional: true, description: 'Coolant was in the system; false: it was drained and dry' }) wet?:
    boolean | null;
  @QuantityOf('temperature', { optional: true }) startTemperature?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) endTemperature?: Quantity | null;
  @QuantityOf('vacuum', {
    optional: true,
    min: 40,
    max: 110,
    description: 'Station pressure, in place of the elevation',
  })
  barometer?: Quantity | null;
}

export class FreezePointInput {
  @Kind('freeze-point') kind!: 'freeze-point';
  @Choice(COOLANT_BASES, { optional: true }) base?: CoolantBase | null;
  @Choice(COOLANT_BASES, { optional: true, description: "The base the instrument's scale is for" })
  scale?: CoolantBase | null;
  @Choice(FREEZE_POINT_METHODS) method!: FreezePointMethod;
  @FreezePointValue() value!: Quantity;
  @Nested(() => TestStripInput, { optional: true, description: 'The strip, where the method is test-strip' })
  strip?: TestStripInput | null;
}

export class TorqueSetInput {
  @Kind('torque-set') kind!: 'torque-set';
  @Text({ max: 80, description: 'The fastener group by its name on the spec sheet' }) fastener!: string;
  @Choice(TORQUE_UNITS) unit!: Unit;
  @Amounts({
    optional: true,
    min: 0,
    max: 50_000,
    maxItems: 100,
    description: 'One torque for each fastener',
  })
  values?: number[] | null;
  @Amount({
    optional: true,
    min: 0,
    max: 50_000,
    description: 'In place of values: what the wrench was set to, for `count` fasteners',
  })
  setTo?: number | null;
  @Amount({ optional: true, min: 1, max: 100, integer: true }) count?: number | null;
  @Choice(['setting', 'measured'], { optional: true }) source?: 'setting' | 'measured' | null;
  @Amount({ optional: true, min: 0, max: 100 }) toolUncertaintyPercent?: number | null;
}

export class FillInput {
  @Kind('fill') kind!: 'fill';
  @QuantityOf('volume', { optional: true }) drained?: Quantity | null;
  @Flag({ optional: true, description: 'The vehicle came in with too little coolant' }) cameInLow?:
    boolean | null;
  @QuantityOf('volume', { description: 'All that went in, with what topped it up to the mark' })
  added!: Quantity;
  @Flag({
    optional: true,
    description:
      'Topped up to the mark before the engine was started; what is missing then is trapped air. Worth saying of a vacuum fill, which leaves air of its own',
  })
  toppedUpToMark?: boolean | null;
  @Amount({ optional: true, min: 0, max: 100, description: 'Of what was filled in, volume %' })
  strengthPercent?: number | null;
  @Amount({
    optional: true,
    min: 0,
    max: 100,
    description:
      'Of what stayed in block and heater, volume %; left out: 0 where the same job flushes the coolant, else the latest strength known',
  })
  stayedStrengthPercent?: number | null;
  @Choice(COOLANT_BASES, { optional: true }) base?: CoolantBase | null;
  @Choice(COOLANT_TECHNOLOGIES, { optional: true }) technology?: CoolantTechnology | null;
  @Text({ optional: true, max: 120 }) product?: string | null;
  @TapWater() tapWater?: boolean | null;
}

export class WarmUpCheckInput {
  @Kind('warm-up-check') kind!: 'warm-up-check';
  @Flag({ optional: true, description: 'null: no heater fitted' }) heatAtVents?: boolean | null;
  @Flag({
    optional: true,
    description:
      'An electric fan came on and went off, or a viscous fan was heard to engage; null: a fan fixed to its pulley',
  })
  fanCycled?: boolean | null;
  @Flag({ optional: true }) thermostatOpened?: boolean | null;
  @Flag({ optional: true }) temperatureSteady?: boolean | null;
  @Flag({ optional: true }) leakSeen?: boolean | null;
  @Choice(LEVELS_AFTER_COOLING, { optional: true }) levelAfterCooling?: LevelAfterCooling | null;
}

export class PulleyInput {
  @Text({ max: 80 }) name!: string;
  @Flag() ribsSeated!: boolean;
}

export class BeltCheckInput {
  @Kind('belt-check') kind!: 'belt-check';
  @Text({ optional: true, max: 80, description: 'The belt by its name on the spec sheet' }) item?:
    string | null;
  @Flag({ optional: true }) ribsSeated?: boolean | null;
  @NestedList(() => PulleyInput, { optional: true, max: 20 }) pulleys?: PulleyInput[] | null;
  @QuantityOf('size', { optional: true, description: 'How far a pulley stands out of line' })
  offset?: Quantity | null;
  @QuantityOf('size', { optional: true, description: 'Free length of belt the offset was measured over' })
  span?: Quantity | null;
  @QuantityOf('size', { optional: true }) driverDiameter?: Quantity | null;
  @QuantityOf('size', { optional: true }) drivenDiameter?: Quantity | null;
  @Amount({ optional: true, min: 0, max: 100_000 }) driverRpm?: number | null;
  @Amount({ optional: true, min: 0, max: 100_000 }) drivenRpm?: number | null;
  @Choice(['ok', 'worn'], { optional: true }) wearGauge?: 'ok' | 'worn' | null;
  @Flag({ optional: true }) tensionerInRange?: boolean | null;
  @Flag({ optional: true, description: 'Coolant, oil or grease on it' }) contaminated?: boolean | null;
}

export class LevelCheckInput {
  @Kind('level-check') kind!: 'level-check';
  @Choice(LEVEL_WORDS, {
    optional: true,
    description: 'Where it stands by the marks on the reservoir, cold or hot; this or belowMark is needed',
  })
  level?: LevelWord | null;
  @QuantityOf('volume', {
    optional: true,
    min: -50,
    description: 'How much is missing to the mark (MAX, where there are two); negative above it',
  })
  belowMark?: Quantity | null;
  @Flag({ optional: true }) engineCold?: boolean | null;
}

export class TopUpInput {
  @Kind('top-up') kind!: 'top-up';
  @QuantityOf('volume') added!: Quantity;
  @Flag({ optional: true, description: 'Filled to the mark' }) toMark?: boolean | null;
  @Amount({ optional: true, min: 0, max: 100, description: '0 is plain water; left out: not known' })
  strengthPercent?: number | null;
  @Choice(COOLANT_BASES, { optional: true }) base?: CoolantBase | null;
  @Choice(COOLANT_TECHNOLOGIES, { optional: true }) technology?: CoolantTechnology | null;
  @TapWater() tapWater?: boolean | null;
  @Flag({ optional: true, description: 'Part of planned work, such as after a warm-up' }) planned?:
    boolean | null;
}

export class CapTestInput {
  @Kind('cap-test') kind!: 'cap-test';
  @QuantityOf('pressure', { optional: true }) opensAt?: Quantity | null;
  @QuantityOf('pressure', { optional: true }) holdsAt?: Quantity | null;
  @Flag({ optional: true }) vacuumValveOk?: boolean | null;
}

export class CombustionGasTestInput {
  @Kind('combustion-gas-test') kind!: 'combustion-gas-test';
  @Flag() positive!: boolean;
  @Flag({ optional: true }) engineHot?: boolean | null;
  @Flag({ optional: true }) underLoad?: boolean | null;
}

export class RoadTestInput {
  @Kind('road-test') kind!: 'road-test';
  @Amount({
    optional: true,
    min: 0,
    max: 1440,
    description: 'How long it was driven; 15 or more to be judged',
  })
  minutes?: number | null;
  @QuantityOf('distance', { optional: true, max: 5000 }) distance?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) highestCoolantTemperature?: Quantity | null;
  @Flag({ optional: true }) warningLamp?: boolean | null;
  @Flag({ optional: true }) leakSeen?: boolean | null;
}

export type ReadingInput =
  | HoldTestInput
  | FreezePointInput
  | TorqueSetInput
  | FillInput
  | WarmUpCheckInput
  | BeltCheckInput
  | LevelCheckInput
  | TopUpInput
  | CoolantConditionInput
  | CapTestInput
  | CombustionGasTestInput
  | RoadTestInput;

/** The class each kind of reading is validated by. */
export const READING_INPUTS: Record<ReadingKind, new () => ReadingInput> = {
  'hold-test': HoldTestInput,
  'freeze-point': FreezePointInput,
  'torque-set': TorqueSetInput,
  fill: FillInput,
  'warm-up-check': WarmUpCheckInput,
  'belt-check': BeltCheckInput,
  'level-check': LevelCheckInput,
  'top-up': TopUpInput,
  'coolant-condition': CoolantConditionInput,
  'cap-test': CapTestInput,
  'combustion-gas-test': CombustionGasTestInput,
  'road-test': RoadTestInput,
};

export const MAX_READINGS = 40;

/** A list of readings of any kind. Each is validated by its own class afterwards, so that in a batch one bad reading can be set aside. */
export function ReadingList(): PropertyDecorator {
  const classes = Object.values(READING_INPUTS);
  const mapping = Object.fromEntries(
    Object.entries(READING_INPUTS).map(([kind, type]) => [kind, getSchemaPath(type)]),
  );
  return applyDecorators(
    ApiExtraModels(...classes),
    ApiProperty({
      type: 'array',
      required: false,
      maxItems: MAX_READINGS,
      items: {
        oneOf: classes.map((type) => ({ $ref: getSchemaPath(type) })),
        discriminator: { propertyName: 'kind', mapping },
      },
    }),
    ValidateIf((_report, value) => value !== undefined && value !== null),
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(MAX_READINGS, { message: `holds more than ${MAX_READINGS} readings` }),
    AtMost(MAX_READINGS),
  );
}
