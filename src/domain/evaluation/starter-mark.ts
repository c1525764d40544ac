import type { Message } from '../message.js';
import { message } from './messages.js';

/** The values of a spec sheet about one circuit, by their stored names. */
export const SHEET_VALUES = [
  'coolantBase',
  'coolantTechnology',
  'capacityL',
  'drainableL',
  'targetStrengthPercent',
  'strengthMaxPercent',
  'capRatingKpa',
  'maxTestPressureKpa',
  'thermostatOpensC',
  'highTemperatureAlarmC',
  'minToMaxL',
  'additive',
  'coolantCondition',
  'holdTestMethod',
  'holdTestTargetKpa',
  'holdTestMinutes',
  'holdTestAllowedLossKpa',
] as const;
export type SheetValue = (typeof SHEET_VALUES)[number];

/** What every answer says that shows or uses a value of a ready-made spec sheet. */
export const STARTER_VALUES: Message = message('starter-values');

/** What every answer says that shows or uses an interval of a ready-made plan. */
export const STARTER_INTERVAL: Message = message('starter-interval');

/**
 * What is to be said of a verdict that used values of a ready-made spec sheet which nobody has
 * confirmed or replaced.
 *
 * @param used the values that this kind of reading is judged by
 * @param starterValues those of the sheet that are still ready-made
 * @example starterBasis(['capRatingKpa'], ['capacityL']) // []
 */
export function starterBasis(used: readonly SheetValue[], starterValues: readonly SheetValue[]): Message[] {
  return used.some((value) => starterValues.includes(value)) ? [STARTER_VALUES] : [];
}

/**
 * The ready-made values of a sheet in one circuit.
 *
 * @param stored by their names: those of another circuit than the first after its name and a slash
 * @param circuit null: the first
 * @example starterValuesOf(['capacityL', 'cabin/capRatingKpa'], 'cabin') // ['capRatingKpa']
 */
export function starterValuesOf(stored: readonly string[], circuit: string | null): SheetValue[] {
  const prefix = circuit === null ? '' : `${circuit}/`;
  return SHEET_VALUES.filter((value) => stored.includes(`${prefix}${value}`));
}
