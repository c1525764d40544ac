import type { ChangeValue, MeasureValue } from '../../domain/message.js';
import { type MeasureKind, MEASURES, systemOf, type UnitSystem } from '../../domain/quantities/measures.js';
import { type Rounding, roundedToRead } from '../../domain/quantities/rounding.js';
import type { ToldRounding } from '../../domain/quantities/told.js';
import { convert, dimensionOf, type Quantity, type Unit } from '../../domain/quantities/units.js';
import { plain, unitInWords } from '../../domain/quantities/wording.js';

/**
 * Which units to show: those of a system; the typed unit, or else those of a system; or, for null,
 * the typed unit.
 */
export type ReadersUnits = UnitSystem | { readonly typedOr: UnitSystem } | null;

/** Returns the reader's system, and whether a typed unit of the other system stays. */
function systemFor(units: ReadersUnits): { system: UnitSystem | null; keepsTyped: boolean } {
  if (units === null) return { system: null, keepsTyped: true };
  return typeof units === 'string'
    ? { system: units, keepsTyped: false }
    : { system: units.typedOr, keepsTyped: true };
}

/** Returns the typed unit if it may stay, else the reader's unit for the measure. */
function unitFor(kind: MeasureKind, typed: Unit | undefined, units: ReadersUnits): Unit {
  const { canonical } = MEASURES[kind];
  const { system, keepsTyped } = systemFor(units);
  const isUsable = typed !== undefined && dimensionOf(typed) === dimensionOf(canonical);
  if (isUsable && (keepsTyped || systemOf(typed) === system)) return typed;
  return system === null ? canonical : MEASURES[kind][system];
}

/**
 * Converts a measure to the reader's unit. Rounds to ten digits, only to remove the noise of
 * conversion.
 */
export function quantityFor(given: MeasureValue, units: ReadersUnits): Quantity {
  const kind = given.measure as MeasureKind;
  const unit = unitFor(kind, given.typed as Unit | undefined, units);
  return { value: Number(convert(given.value, MEASURES[kind].canonical, unit).toPrecision(10)), unit };
}

/**
 * A measure of a message in words. @example measureInWords(told('volume', 18.25, 'qt'), 'us', 'en-US')
 * // '19.5 qt'
 */
export function measureInWords(given: MeasureValue, units: ReadersUnits, locale: string): string {
  const quantity = quantityFor(given, units);
  return `${numberInWords(roundedFor(quantity, (given.rounding ?? 'nearest') as ToldRounding), locale)} ${unitInWords(quantity.unit)}`;
}

function roundedFor({ value, unit }: Quantity, rounding: ToldRounding): number {
  if (rounding === 'exact') return value;
  if (rounding === 'tenths') return Number(value.toFixed(1));
  return roundedToRead(value, unit, rounding satisfies Rounding);
}

/** Converts a difference of temperature, which has no offset, to the reader's unit. */
export function changeFor({ change, typed }: ChangeValue, units: ReadersUnits): Quantity {
  const { system, keepsTyped } = systemFor(units);
  const isFahrenheit = keepsTyped && typed !== undefined ? typed === 'F' : system === 'us';
  return {
    value: Number((isFahrenheit ? change * 1.8 : change).toPrecision(10)),
    unit: isFahrenheit ? 'F' : 'C',
  };
}

/** A difference of temperature in words. @example changeInWords({ change: 10 }, 'us', 'en-US') // '18 °F' */
export function changeInWords(given: ChangeValue, units: ReadersUnits, locale: string): string {
  const { value, unit } = changeFor(given, units);
  return `${numberInWords(value, locale)} ${unitInWords(unit)}`;
}

const FORMATS = new Map<string, Intl.NumberFormat>();

/** A number with enough digits to compare with a limit, as the language writes it. */
export function numberInWords(value: number, locale: string): string {
  let format = FORMATS.get(locale);
  if (format === undefined) {
    format = new Intl.NumberFormat(locale, { maximumFractionDigits: 20 });
    FORMATS.set(locale, format);
  }
  return format.format(Number(plain(value)));
}
