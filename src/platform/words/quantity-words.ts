import type { ChangeValue, MeasureValue } from '../../domain/message.js';
import { type MeasureKind, MEASURES, systemOf, type UnitSystem } from '../../domain/quantities/measures.js';
import { type Rounding, roundedToRead } from '../../domain/quantities/rounding.js';
import type { ToldRounding } from '../../domain/quantities/told.js';
import { convert, dimensionOf, type Quantity, type Unit } from '../../domain/quantities/units.js';
import { plain, unitInWords } from '../../domain/quantities/wording.js';

/**
 * Whose units are told: those of a system, or, to whoever typed a value, the typed ones first.
 * Null: those that were typed.
 */
export type ReadersUnits = UnitSystem | { readonly typedOr: UnitSystem } | null;

/** The system that a reader reads, and whether a typed unit of the other system is kept. */
function systemFor(units: ReadersUnits): { system: UnitSystem | null; keepsTyped: boolean } {
  if (units === null) return { system: null, keepsTyped: true };
  return typeof units === 'string'
    ? { system: units, keepsTyped: false }
    : { system: units.typedOr, keepsTyped: true };
}

/** The unit typed where it may be kept, else the reader's own for the measure. */
function unitFor(kind: MeasureKind, typed: Unit | undefined, units: ReadersUnits): Unit {
  const { canonical } = MEASURES[kind];
  const { system, keepsTyped } = systemFor(units);
  const isUsable = typed !== undefined && dimensionOf(typed) === dimensionOf(canonical);
  if (isUsable && (keepsTyped || systemOf(typed) === system)) return typed;
  return system === null ? canonical : MEASURES[kind][system];
}

/**
 * A measure of a message as the quantity that its reader sees, not rounded but for the digits that
 * conversion there and back adds.
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

/** A difference of temperature as its reader sees it: it has no offset. */
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
