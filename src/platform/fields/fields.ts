import { applyDecorators } from '@nestjs/common';
import { ApiProperty, type ApiPropertyOptions } from '@nestjs/swagger';
import { Type } from 'class-transformer';
import {
  ArrayMaxSize,
  ArrayMinSize,
  ArrayUnique,
  IsArray,
  IsIn,
  IsObject,
  IsUUID,
  Matches,
  ValidateBy,
  ValidateIf,
  ValidateNested,
  type ValidationOptions,
} from 'class-validator';
import { Temporal } from 'temporal-polyfill';
import { inSystem, type MeasureKind, MEASURES } from '../../domain/quantities/measures.js';
import {
  convert,
  dimensionOf,
  isUnit,
  type Quantity,
  type Unit,
  unitsOf,
} from '../../domain/quantities/units.js';
import { AtMost } from './at-most.js';

/** What every field decorator takes: whether the field may be left out, and what the API document says of it. */
export interface FieldOptions {
  optional?: boolean;
  description?: string;
  example?: unknown;
}

type Rule = (value: unknown) => string | null;

function satisfies(name: string, rule: Rule, each = false): PropertyDecorator {
  const options: ValidationOptions = { each };
  return ValidateBy(
    {
      name,
      validator: {
        validate: (value: unknown) => rule(value) === null,
        defaultMessage: (args) =>
          rule(each ? firstBad(args?.value, rule) : args?.value) ?? 'is not acceptable',
      },
    },
    options,
  );
}

function firstBad(value: unknown, rule: Rule): unknown {
  return Array.isArray(value) ? value.find((item) => rule(item) !== null) : value;
}

function field(
  options: FieldOptions,
  api: ApiPropertyOptions,
  ...decorators: PropertyDecorator[]
): PropertyDecorator {
  const optional = options.optional ?? false;
  const documented = {
    ...api,
    required: !optional,
    ...(optional ? { nullable: true } : {}),
    ...(options.description ? { description: options.description } : {}),
    ...(options.example !== undefined ? { example: options.example } : {}),
  } as ApiPropertyOptions;
  const presence = optional ? [ValidateIf((_object, value) => value !== undefined && value !== null)] : [];
  return applyDecorators(ApiProperty(documented), ...presence, ...decorators);
}

function shown(value: unknown): string {
  const text = typeof value === 'string' ? `"${value}"` : (JSON.stringify(value) ?? 'missing');
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}

/** Text of at least one character that is not blank. */
export function Text(options: FieldOptions & { max?: number; min?: number } = {}): PropertyDecorator {
  const { max = 200, min = 1 } = options;
  return field(
    options,
    { type: 'string', minLength: min, maxLength: max },
    satisfies('text', (value) => {
      if (value === undefined || value === null) return 'is required';
      if (typeof value !== 'string') return `is ${shown(value)}; text is needed`;
      if (value.length > max) return `is ${value.length} characters long; at most ${max} are kept`;
      if (value.trim().length < min) return 'is blank';
      return null;
    }),
  );
}

export function Choice(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', enum: [...values] },
    satisfies('choice', (value) => {
      if (value === undefined || value === null) return `is required: one of ${values.join(', ')}`;
      return values.includes(value as string)
        ? null
        : `is ${shown(value)}; one of ${values.join(', ')} is needed`;
    }),
  );
}

export function Choices(
  values: readonly string[],
  options: FieldOptions & { min?: number } = {},
): PropertyDecorator {
  return field(
    options,
    {
      type: 'array',
      items: { type: 'string', enum: [...values] },
      minItems: options.min ?? 0,
      maxItems: values.length,
    },
    IsArray({ message: 'is not a list' }),
    ArrayMinSize(options.min ?? 0, { message: `needs at least ${options.min ?? 0} of ${values.join(', ')}` }),
    ArrayMaxSize(values.length, { message: 'is too long a list' }),
    AtMost(values.length),
    ArrayUnique({ message: 'names something twice' }),
    IsIn([...values], { each: true, message: `may only hold ${values.join(', ')}` }),
  );
}

/** Several choices in one query parameter, with commas between them; it stays text. */
export function ChoiceList(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', example: values.slice(0, 2).join(',') },
    satisfies('choiceList', (value) => {
      if (typeof value !== 'string') return `is ${shown(value)}; some of ${values.join(', ')} are needed`;
      const unknown = value.split(',').find((choice) => !values.includes(choice));
      return unknown === undefined
        ? null
        : `holds ${shown(unknown)}; only ${values.join(', ')} may stand here, with commas between them`;
    }),
  );
}

export function Flag(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'boolean' },
    satisfies('flag', (value) =>
      typeof value === 'boolean' ? null : `is ${shown(value)}; true or false is needed`,
    ),
  );
}

function numberFault(value: unknown, min: number, max: number, integer: boolean): string | null {
  if (value === undefined || value === null) return 'is required';
  if (typeof value !== 'number' || !Number.isFinite(value)) return `is ${shown(value)}; a number is needed`;
  if (integer && !Number.isInteger(value)) return `is ${value}; a whole number is needed`;
  if (value < min || value > max) return `is ${value}; it must be from ${min} to ${max}`;
  return null;
}

export function Amount(
  options: FieldOptions & { min: number; max: number; integer?: boolean },
): PropertyDecorator {
  return field(
    options,
    { type: options.integer ? 'integer' : 'number', minimum: options.min, maximum: options.max },
    satisfies('amount', (value) => numberFault(value, options.min, options.max, options.integer ?? false)),
  );
}

/** A number in a query parameter; it stays text. */
export function AmountText(options: FieldOptions & { min: number; max: number }): PropertyDecorator {
  return field(
    options,
    { type: 'number', minimum: options.min, maximum: options.max },
    satisfies('amountText', (value) =>
      typeof value === 'string' && /^\d{1,15}(\.\d{1,15})?$/.test(value)
        ? numberFault(Number(value), options.min, options.max, false)
        : `is ${shown(value)}; a number such as 120 or 99.50 is needed`,
    ),
  );
}

export function Amounts(
  options: FieldOptions & { min: number; max: number; maxItems: number; integer?: boolean },
): PropertyDecorator {
  const { min, max, maxItems, integer = false } = options;
  return field(
    options,
    { type: 'array', items: { type: integer ? 'integer' : 'number', minimum: min, maximum: max }, maxItems },
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(maxItems, { message: `holds more than ${maxItems} values` }),
    AtMost(maxItems),
    satisfies('amounts', (value) => numberFault(value, min, max, integer), true),
  );
}

export function Texts(options: FieldOptions & { max: number; maxItems: number }): PropertyDecorator {
  return field(
    options,
    {
      type: 'array',
      items: { type: 'string', minLength: 1, maxLength: options.max },
      maxItems: options.maxItems,
    },
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(options.maxItems, { message: `holds more than ${options.maxItems} entries` }),
    AtMost(options.maxItems),
    satisfies(
      'texts',
      (value) =>
        typeof value === 'string' && value.trim() !== '' && value.length <= options.max
          ? null
          : `holds ${shown(value)}; text of 1 to ${options.max} characters is needed`,
      true,
    ),
  );
}

export function Identifier(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'uuid' }, IsUUID('all', { message: 'is not a UUID' }));
}

export function Identifiers(options: FieldOptions & { maxItems?: number } = {}): PropertyDecorator {
  const maxItems = options.maxItems ?? 100;
  return field(
    options,
    { type: 'array', items: { type: 'string', format: 'uuid' }, maxItems },
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(maxItems, { message: `holds more than ${maxItems} ids` }),
    AtMost(maxItems),
    ArrayUnique({ message: 'names something twice' }),
    IsUUID('all', { each: true, message: 'holds something that is not a UUID' }),
  );
}

const EARLIEST_YEAR = 1950;
const LATEST_YEAR = 2150;
const RFC_3339 = /^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}:\d{2}(\.\d{1,9})?([Zz]|[+-]\d{2}:\d{2})$/;

/** Why a text is not an instant in RFC 3339 form; null when it is one. */
export function instantFault(value: unknown): string | null {
  if (value === undefined || value === null) return 'is required';
  if (typeof value !== 'string' || value.length > 40)
    return `is ${shown(value)}; a time such as 2026-04-02T07:31:00-06:00 is needed`;
  if (/^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?$/.test(value))
    return `is ${shown(value)}; it lacks the offset from UTC, such as -06:00 or Z`;
  if (!RFC_3339.test(value)) return `is ${shown(value)}; a time such as 2026-04-02T07:31:00-06:00 is needed`;
  const day = dateFault(value.slice(0, 10));
  if (day) return day;
  return Number.isNaN(Date.parse(value.replace(' ', 'T').toUpperCase()))
    ? `is ${shown(value)}; there is no such time`
    : null;
}

/** Why a text is not a civil date; null when it is one. */
export function dateFault(value: unknown): string | null {
  if (value === undefined || value === null) return 'is required';
  if (typeof value !== 'string' || !/^\d{4}-\d{2}-\d{2}$/.test(value))
    return `is ${shown(value)}; a date such as 2026-04-02 is needed`;
  const year = Number(value.slice(0, 4));
  if (year < EARLIEST_YEAR || year > LATEST_YEAR)
    return `is in the year ${year}; years from ${EARLIEST_YEAR} to ${LATEST_YEAR} are taken`;
  try {
    Temporal.PlainDate.from(value, { overflow: 'reject' });
    return null;
  } catch {
    return `is ${shown(value)}; there is no such day`;
  }
}

/** An instant in RFC 3339 form, with an offset. */
export function Instant(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'date-time' }, satisfies('instant', instantFault));
}

/** A civil date in the fleet's time zone. */
export function CivilDate(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'date' }, satisfies('civilDate', dateFault));
}

/** Civil dates in the fleet's time zone, each once. */
export function CivilDates(options: FieldOptions & { maxItems: number }): PropertyDecorator {
  const { maxItems } = options;
  return field(
    options,
    { type: 'array', items: { type: 'string', format: 'date' }, maxItems },
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(maxItems, { message: `holds more than ${maxItems} dates` }),
    AtMost(maxItems),
    ArrayUnique({ message: 'names something twice' }),
    satisfies('civilDates', dateFault, true),
  );
}

export function TimeOfDay(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', pattern: '^([01]\\d|2[0-3]):[0-5]\\d$' },
    Matches(/^([01]\d|2[0-3]):[0-5]\d$/, { message: 'is not a time of day such as 06:00' }),
  );
}

const ZONE_WANTED = 'a time zone by its IANA name is needed, such as America/Denver';

/**
 * Why a text is not the name of a time zone; null when it is one. Offsets and abbreviations are refused: `-07:00` and `MST` know no
 * daylight saving time, and would put half the year's days an hour out.
 */
export function timeZoneFault(value: unknown): string | null {
  if (value === undefined || value === null) return `is required: ${ZONE_WANTED}`;
  if (typeof value !== 'string') return `is ${shown(value)}; ${ZONE_WANTED}`;
  if (value !== 'UTC' && !/^[A-Za-z][A-Za-z0-9_+-]*(\/[A-Za-z0-9_+-]+)+$/.test(value)) {
    const why = /^[+-]?\d|^[A-Z]{2,5}$|^(UTC|GMT)[+-]/.test(value)
      ? ', which knows no daylight saving time'
      : '';
    return `is ${shown(value)}${why}; ${ZONE_WANTED}`;
  }
  try {
    const { timeZone } = new Intl.DateTimeFormat('en', { timeZone: value }).resolvedOptions();
    const differsInCase = timeZone !== value && timeZone.toLowerCase() === value.toLowerCase();
    return differsInCase ? `is ${shown(value)}; it is written ${timeZone}` : null;
  } catch {
    return `is ${shown(value)}, which is not known; ${ZONE_WANTED}`;
  }
}

/** A time zone by its IANA name. */
export function TimeZone(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', example: 'America/Denver' }, satisfies('timeZone', timeZoneFault));
}

/** Least and greatest value of each measure that the service takes, in its canonical unit: generous, and finite. */
const LIMITS: Record<MeasureKind, { min: number; max: number }> = {
  distance: { min: 0, max: 10_000_000 },
  elevation: { min: -450, max: 6000 },
  size: { min: 0, max: 100_000 },
  'engine-hours': { min: 0, max: 1_000_000 },
  vacuum: { min: 0, max: 1000 },
  pressure: { min: 0, max: 2000 },
  temperature: { min: -100, max: 300 },
  volume: { min: 0, max: 2000 },
  torque: { min: 0, max: 5000 },
};

export interface QuantityLimits {
  min?: number;
  max?: number;
}

/**
 * Why a value is not a quantity of the measure; null when it is one.
 *
 * @param limits least and greatest value in the measure's canonical unit, where they differ from the usual ones
 */
export function quantityFault(value: unknown, kind: MeasureKind, limits: QuantityLimits = {}): string | null {
  const accepted = unitsOf(dimensionOf(MEASURES[kind].canonical));
  if (value === undefined || value === null) return 'is required';
  if (typeof value !== 'object' || Array.isArray(value))
    return `is ${shown(value)}; an amount with its unit is needed, such as {"value": 1, "unit": "${accepted[0]}"}`;
  const extra = Object.keys(value).find((key) => key !== 'value' && key !== 'unit');
  if (extra !== undefined) return `has a field "${extra.slice(0, 40)}"; only value and unit belong here`;
  const { value: amount, unit } = value as { value?: unknown; unit?: unknown };
  if (unit === undefined) return `lacks its unit; accepted are ${accepted.join(', ')}`;
  if (!isUnit(unit) || !accepted.includes(unit))
    return `has the unit ${shown(unit)}; accepted here are ${accepted.join(', ')}`;
  if (typeof amount !== 'number' || !Number.isFinite(amount))
    return `has the value ${shown(amount)}; a number is needed`;
  const inCanonical = convert(amount, unit, MEASURES[kind].canonical);
  const { min, max } = { ...LIMITS[kind], ...limits };
  if (inCanonical < min - 1e-9 || inCanonical > max + 1e-9) {
    const show = (limit: number): string =>
      `${Number(convert(limit, MEASURES[kind].canonical, unit).toPrecision(6))} ${unit}`;
    return `is ${amount} ${unit}; it must be from ${show(min)} to ${show(max)}`;
  }
  return null;
}

/** A value with its unit; any unit of the right dimension is taken. */
export function QuantityOf(
  kind: MeasureKind,
  options: FieldOptions & QuantityLimits = {},
): PropertyDecorator {
  const example = inSystem(kind, 10, 'si');
  return field(
    options,
    {
      type: 'object',
      properties: {
        value: { type: 'number' },
        unit: { type: 'string', enum: unitsOf(dimensionOf(MEASURES[kind].canonical)) },
      },
      required: ['value', 'unit'],
      additionalProperties: false,
      example: options.example ?? example,
    },
    satisfies('quantity', (value) => quantityFault(value, kind, options)),
  );
}

/** The API document takes a function for a class that is yet to come only if the function is named `type`; this one is. */
function documentedClass(classOf: () => new () => object): ApiPropertyOptions {
  return { type: () => classOf() };
}

/** A nested object of the given class. */
export function Nested(type: () => new () => object, options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    documentedClass(type),
    IsObject({ message: 'is not an object' }),
    ValidateNested(),
    Type(type),
  );
}

/** A list of objects of the given class. */
export function NestedList(
  type: () => new () => object,
  options: FieldOptions & { min?: number; max: number },
): PropertyDecorator {
  const { min = 0, max } = options;
  return field(
    options,
    { ...documentedClass(type), isArray: true, minItems: min, maxItems: max },
    IsArray({ message: 'is not a list' }),
    ArrayMinSize(min, { message: `needs at least ${min}` }),
    ArrayMaxSize(max, { message: `holds more than ${max}` }),
    AtMost(max, type),
    IsObject({ each: true, message: 'holds something that is not an object' }),
    ValidateNested({ each: true }),
  );
}

/** A quantity that has passed validation, in its measure's canonical unit; null stays null. */
export function canonicalOf(kind: MeasureKind, quantity: Quantity | null | undefined): number | null {
  return quantity ? convert(quantity.value, quantity.unit, MEASURES[kind].canonical) : null;
}

/** A value with its unit where another field of the same object decides which units are taken. */
export function QuantityByChoice<T extends object>(
  unitsFor: (object: T) => readonly Unit[],
  every: readonly Unit[],
  options: FieldOptions = {},
): PropertyDecorator {
  const fault = (value: unknown, object: T): string | null => {
    if (value === undefined || value === null) return 'is required';
    const accepted = unitsFor(object);
    const { value: amount, unit, ...rest } = value as { value?: unknown; unit?: unknown };
    if (typeof value !== 'object' || Array.isArray(value) || Object.keys(rest).length > 0)
      return `is ${shown(value)}; an amount with its unit and no more is needed, such as {"value": 1, "unit": "${accepted[0]}"}`;
    if (!isUnit(unit) || !accepted.includes(unit))
      return `has the unit ${shown(unit)}; accepted here are ${accepted.join(', ')}`;
    if (typeof amount !== 'number' || !Number.isFinite(amount))
      return `has the value ${shown(amount)}; a number is needed`;
    return null;
  };
  return field(
    options,
    {
      type: 'object',
      properties: { value: { type: 'number' }, unit: { type: 'string', enum: [...every] } },
      required: ['value', 'unit'],
      additionalProperties: false,
    },
    ValidateBy({
      name: 'quantityByChoice',
      validator: {
        validate: (value: unknown, args) => fault(value, args?.object as T) === null,
        defaultMessage: (args) => fault(args?.value, args?.object as T) ?? 'is not acceptable',
      },
    }),
  );
}

/** A civil date, or an instant, which stands for its date in the zone in question. */
export function CivilDateOrInstant(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    {
      anyOf: [
        { type: 'string', format: 'date' },
        { type: 'string', format: 'date-time' },
      ],
    },
    satisfies('civilDateOrInstant', (value) =>
      typeof value === 'string' && value.length > 10 ? instantFault(value) : dateFault(value),
    ),
  );
}
