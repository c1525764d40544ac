import type { ChangeValue, MeasureValue } from '../message.js';
import type { MeasureKind } from './measures.js';
import { type Rounding, roundedToRead } from './rounding.js';
import type { Unit } from './units.js';

/** 'exact' for a limit that rounding must not move; 'tenths' for a temperature beside another. */
export type ToldRounding = Rounding | 'exact' | 'tenths';

/** A measure for a message, which keeps the unit that was typed and how it is to be rounded. */
export interface Told extends MeasureValue {
  readonly measure: MeasureKind;
  readonly typed: Unit;
  readonly rounding: ToldRounding;
}

/**
 * A value for a message, rounded to what a person can measure; a value that was typed is repeated
 * as typed.
 *
 * @param value in the measure's canonical unit
 * @param typed the unit that the person typed
 * @param rounding 'down' for what must not be passed, 'up' for what must be reached
 * @example told('vacuum', 74.5005, 'inHg') // in words: '22 inHg'
 */
export function told(
  measure: MeasureKind,
  value: number,
  typed: Unit,
  rounding: ToldRounding = 'nearest',
): Told {
  return { measure, value, typed, rounding };
}

/**
 * A value for a message, to the tenth, where the unit that was typed is not known: it is told in
 * the reader's units.
 *
 * @param value in the measure's canonical unit
 * @example toldToTenth('temperature', 150) // in words, for a reader of °F: '302 °F'
 */
export function toldToTenth(measure: MeasureKind, value: number): MeasureValue {
  return { measure, value, rounding: 'tenths' satisfies ToldRounding };
}

/**
 * A difference of temperature for a message. @param kelvin K @example toldChange(10, 'F') // in
 * words: '18 °F'
 */
export function toldChange(kelvin: number, typed: Unit = 'C'): ChangeValue {
  return { change: kelvin, typed };
}

/**
 * A strength or a share for a message, to the half percent: no instrument reads it better.
 *
 * @example toldPercent(34.29) // 34.5
 */
export function toldPercent(percent: number, rounding: Rounding = 'nearest'): number {
  return roundedToRead(percent, '%', rounding);
}
