import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { convert, unitsOf, type Unit } from '../quantities/units.js';
import { plain, unitInWords } from '../quantities/wording.js';
import { downToDivisionKpa, gaugeDivision } from './gauge-division.js';
import { message } from './messages.js';

/** What a hold test came to, as far as its soundness goes; kPa and minutes. */
export interface HoldTestOutcome {
  lossKpa: number;
  /** What it may lose in its time, at the place. */
  allowedLossKpa: number;
  uncertaintyKpa: number;
  gaugeResolutionKpa: number;
  targetHereKpa: number | null;
  allowedMinutes: number;
  atmosphereKpa: number;
  vapourKpa: number;
  /** Why the temperatures allow no pass. */
  temperatureDoubt: Message | null;
}

interface DoubtfulTest {
  method: 'vacuum' | 'pressure';
  startKpa: number;
  endKpa: number;
  minutes: number;
  unit: Unit;
}

const TOLERANCE = 1e-6;

/**
 * A pressure test is good from this share of its target (common practice): 15.2 psi for a 16 psi
 * cap.
 */
const PRESSURE_START_SHARE = 0.95;

/**
 * Why a hold test that shows no leak is still no pass, each with what would settle it: its
 * temperatures, started short of the target, held too short, gained,
 * boiled.
 *
 * @param test gauge pressures in kPa, minutes
 * @returns empty for a sound test
 * @example holdTestDoubts(test, { ...outcome, allowedMinutes: 5 }) // [{ code: 'hold-test-too-short', values: { held: 3, needed: 5 } }]
 */
export function holdTestDoubts(test: DoubtfulTest, outcome: HoldTestOutcome): Message[] {
  const { method, unit } = test;
  const { temperatureDoubt, allowedMinutes } = outcome;
  const doubts: Message[] = [];
  if (temperatureDoubt !== null) doubts.push(temperatureDoubt);
  // At a test pressure this low, even a leak loses too little to be seen.
  if (test.startKpa <= outcome.allowedLossKpa + outcome.uncertaintyKpa)
    doubts.push(message('hold-test-nothing-tested', { method, start: told(method, test.startKpa, unit) }));
  doubts.push(...startedShort(test, outcome));
  if (test.minutes < allowedMinutes * (1 - TOLERANCE)) {
    doubts.push(message('hold-test-too-short', { held: test.minutes, needed: allowedMinutes }));
  }
  if (temperatureDoubt === null && outcome.lossKpa < -outcome.uncertaintyKpa * (1 + TOLERANCE)) {
    doubts.push(message('hold-test-grew', { method, gain: told(method, -outcome.lossKpa, unit) }));
  }
  const deepestAbsoluteKpa = outcome.atmosphereKpa - Math.max(test.startKpa, test.endKpa);
  if (
    method === 'vacuum' &&
    outcome.vapourKpa > 0 &&
    deepestAbsoluteKpa < outcome.vapourKpa * (1 - TOLERANCE)
  ) {
    const deepest = told('vacuum', outcome.atmosphereKpa - outcome.vapourKpa, unit, 'down');
    doubts.push(message('hold-test-boiled', { deepest }));
  }
  return doubts;
}

/**
 * The least start that counts, with the one allowance there is: half a division below a vacuum that
 * the gauge can show, 5 % below a pressure.
 *
 * @param targetKpa kPa, at the place
 * @returns what the gauge is to show, and what still counts; kPa
 * @example leastStart('vacuum', 64.99969, 1.693194, 'inHg') // shown 64.341 (19 inHg), least 63.495 (18.75 inHg)
 */
export function leastStart(
  method: 'vacuum' | 'pressure',
  targetKpa: number,
  gaugeResolutionKpa: number,
  unit: Unit,
): { shownKpa: number; leastKpa: number } {
  if (method === 'pressure') return { shownKpa: targetKpa, leastKpa: PRESSURE_START_SHARE * targetKpa };
  const shownKpa = downToDivisionKpa(targetKpa, gaugeResolutionKpa, unit);
  const halfDivisionKpa = convert(gaugeDivision(gaugeResolutionKpa, unit) / 2, unit, 'kPa');
  return { shownKpa, leastKpa: shownKpa - halfDivisionKpa };
}

function startedShort(test: DoubtfulTest, outcome: HoldTestOutcome): Message[] {
  const { method, startKpa, unit } = test;
  const { targetHereKpa, gaugeResolutionKpa } = outcome;
  if (targetHereKpa === null) return [];
  const { shownKpa, leastKpa } = leastStart(method, targetHereKpa, gaugeResolutionKpa, unit);
  if (startKpa >= leastKpa - TOLERANCE * targetHereKpa) return [];
  const start = told(method, startKpa, unit);
  const short = message('hold-test-started-short', { method, start, target: told(method, shownKpa, unit) });
  return [short, ...otherUnit(test, targetHereKpa)];
}

function otherUnit(test: DoubtfulTest, targetHereKpa: number): Message[] {
  const typed = convert(test.startKpa, 'kPa', test.unit);
  const meant = unitsOf('pressure').find((candidate) => {
    const ratio = convert(typed, candidate, 'kPa') / targetHereKpa;
    return candidate !== test.unit && test.startKpa < 0.5 * targetHereKpa && ratio > 0.9 && ratio < 1.25;
  });
  if (meant === undefined) return [];
  return [message('hold-test-was-it-other-unit', { meant: `${plain(typed)} ${unitInWords(meant)}` })];
}
