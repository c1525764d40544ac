import type { Message } from '../../domain/message.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { EachOnce, ListOf } from './lists.js';
import { dateFault, instantFault } from './instant-fault.js';
import { message } from './messages.js';
import { shown } from './shown.js';
import { timeZoneFault } from './time-zone-name.js';

/** An RFC 3339 instant with an offset. */
export function Instant(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'date-time' }, satisfies('instant', instantFault));
}

/** A civil date in the fleet's time zone. */
export function CivilDate(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'date' }, satisfies('civilDate', dateFault));
}

/** Civil dates in the fleet's time zone, without repeats. */
export function CivilDates(options: FieldOptions & { maxItems: number }): PropertyDecorator {
  const { maxItems } = options;
  return field(
    options,
    { type: 'array', items: { type: 'string', format: 'date' }, maxItems },
    ListOf(maxItems),
    EachOnce(),
    satisfies('civilDates', dateFault, true),
  );
}

/** A civil date, or an instant that means its date in the relevant time zone. */
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

function timeOfDayFault(value: unknown): Message | null {
  if (value === undefined || value === null) return message('field-required');
  return typeof value === 'string' && /^([01]\d|2[0-3]):[0-5]\d$/.test(value)
    ? null
    : message('field-not-time-of-day', { given: shown(value) });
}

export function TimeOfDay(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', pattern: '^([01]\\d|2[0-3]):[0-5]\\d$' },
    satisfies('timeOfDay', timeOfDayFault),
  );
}

/** A time zone, given by its IANA name. */
export function TimeZone(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', example: 'America/Denver' }, satisfies('timeZone', timeZoneFault));
}
