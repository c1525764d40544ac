import type { CommonPractice } from '../evaluation/common-practice.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { told, toldChange } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { asTyped, plain } from '../quantities/wording.js';
import { message } from './messages.js';

const TOLERANCE = 1e-6;

/**
 * A filled system is judged by its temperatures only when they differ by no more than this, K
 * (common practice).
 */
const FILLED_CHANGE_K = 1;

/** The temperatures given with a hold test, °C; null and absent mean not given. */
export interface TemperaturesSaid {
  method: 'vacuum' | 'pressure';
  /** The engine stood long enough to be at air temperature. */
  engineCold?: boolean | null;
  /** Coolant was in the system. */
  wet?: boolean | null;
  coolantTemperatureC?: number | null;
  startTemperatureC?: number | null;
  endTemperatureC?: number | null;
  /** The temperature unit that was typed, for wording. */
  temperatureUnit?: Unit;
}

/** What can be made of them. */
export interface Temperatures {
  cold: boolean;
  hottestC: number | null;
  /** K, end less start; null without both. */
  changeK: number | null;
  /** Coolant may be in the system: the hottest known temperature counts. */
  mayHoldCoolant: boolean;
  /** Vapour takes part in the sum of a vacuum: said to be wet, or warm and not said to be dry. */
  vapour: boolean;
  /** Why no pass can be given, and what to do; null where the test can be judged. */
  doubt: Message | null;
}

/**
 * What the temperatures of a hold test allow. Cold, or dry: it is judged. Warm, or unsaid: at best
 * inconclusive, because cooling coolant hides a leak of a
 * vacuum (a sealed wet system gains 1.9 inHg from 60 to 50 °C). A filled system under pressure is
 * judged when cold, or with both temperatures within 1 K of
 * each other.
 *
 * Source: common practice for 40 °C, 3 K and 1 K; own derivation and simulation in docs/domain.md.
 *
 * @param said temperatures in °C
 * @throws ImpossibleValue when `engineCold` contradicts a temperature above 40 °C or a change of
 * more than 3 K.
 * @example temperaturesOf({ method: 'vacuum', wet: true }, COMMON_PRACTICE).doubt?.code // 'hold-test-maybe-warm'
 */
export function temperaturesOf(said: TemperaturesSaid, practice: CommonPractice): Temperatures {
  const startC = said.startTemperatureC ?? null;
  const endC = said.endTemperatureC ?? null;
  const known = [said.coolantTemperatureC ?? null, startC, endC].filter((c) => c !== null);
  const hottestC = known.length === 0 ? null : Math.max(...known);
  const changeK = startC === null || endC === null ? null : endC - startC;
  requireNoContradiction(said, hottestC, changeK, practice);

  const cold = said.engineCold === true;
  const mayHoldCoolant = said.wet !== false;
  const vacuum = said.method === 'vacuum';
  const warm =
    said.engineCold === false || isHot(hottestC, practice) || isMore(changeK, practice.coolantChangeK);
  return {
    cold,
    hottestC,
    changeK,
    mayHoldCoolant,
    vapour: vacuum && mayHoldCoolant && (said.wet === true || warm),
    doubt: mayHoldCoolant ? doubtOf(said, hottestC, changeK, practice) : null,
  };
}

const isHot = (hottestC: number | null, practice: CommonPractice): boolean =>
  hottestC !== null && hottestC > practice.hotCoolantC + TOLERANCE;

const isMore = (changeK: number | null, limitK: number): boolean =>
  changeK !== null && Math.abs(changeK) > limitK + TOLERANCE;

function doubtOf(
  said: TemperaturesSaid,
  hottestC: number | null,
  changeK: number | null,
  practice: CommonPractice,
): Message | null {
  const unit = said.temperatureUnit ?? 'C';
  const { method } = said;
  const vacuum = method === 'vacuum';
  if (isHot(hottestC, practice)) {
    const coolant = told('temperature', hottestC ?? 0, unit);
    const limit = told('temperature', practice.hotCoolantC, unit);
    return message('hold-test-too-hot', { method, coolant, limit });
  }
  if (isMore(changeK, vacuum ? practice.coolantChangeK : FILLED_CHANGE_K))
    return message('hold-test-temperature-changed', { change: toldChange(Math.abs(changeK ?? 0), unit) });
  if (said.engineCold === true || (!vacuum && changeK !== null)) return null;
  if (said.engineCold === false) return message('hold-test-warm', { method });
  // A temperature of no more than 40 °C is as good as said: what it may still change by is part of
  // the uncertainty.
  if (vacuum && hottestC !== null) return null;
  return vacuum && said.wet !== true
    ? message('hold-test-maybe-warm-or-dry')
    : message('hold-test-maybe-warm', { method });
}

function requireNoContradiction(
  said: TemperaturesSaid,
  hottestC: number | null,
  changeK: number | null,
  practice: CommonPractice,
): void {
  if (said.engineCold !== true) return;
  const unit = said.temperatureUnit ?? 'C';
  if (isHot(hottestC, practice)) {
    throw new ImpossibleValue({
      field: 'engineCold',
      value: asTyped(hottestC ?? 0, 'C', unit),
      limit: { max: asTyped(practice.hotCoolantC, 'C', unit) },
      detail: message('engine-cold-but-hot', {
        coolant: told('temperature', hottestC ?? 0, unit),
        limit: told('temperature', practice.hotCoolantC, unit),
      }),
    });
  }
  if (!isMore(changeK, practice.coolantChangeK)) return;
  const shown = (kelvin: number) => Number(plain(unit === 'F' ? kelvin * 1.8 : kelvin));
  throw new ImpossibleValue({
    field: 'engineCold',
    value: { value: shown(Math.abs(changeK ?? 0)), unit },
    limit: { max: { value: shown(practice.coolantChangeK), unit } },
    detail: message('engine-cold-but-changed', {
      change: toldChange(Math.abs(changeK ?? 0), unit),
      limit: toldChange(practice.coolantChangeK, unit),
    }),
  });
}
