import { ArrayMaxSize, ArrayUnique, IsArray, Matches } from 'class-validator';
import { Temporal } from 'temporal-polyfill';
import { AtMost } from './at-most.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { shown } from './shown.js';
import { timeZoneFault } from './time-zone-name.js';

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

export function TimeOfDay(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', pattern: '^([01]\\d|2[0-3]):[0-5]\\d$' },
    Matches(/^([01]\d|2[0-3]):[0-5]\d$/, { message: 'is not a time of day such as 06:00' }),
  );
}

/** A time zone by its IANA name. */
export function TimeZone(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', example: 'America/Denver' }, satisfies('timeZone', timeZoneFault));
}
