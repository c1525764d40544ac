import { convert, unitsOf, type Unit } from '../quantities/units.js';
import { plain, say, unitInWords } from '../quantities/wording.js';
import { downToDivisionKpa, gaugeDivision } from './gauge-division.js';

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
  temperatureDoubt: string | null;
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
 * @returns one sentence or two for each doubt; empty for a sound test
 * @example holdTestDoubts(test, { ...outcome, allowedMinutes: 5 }) // ['Held 3 of 5 minutes: hold it for 5.']
 */
export function holdTestDoubts(test: DoubtfulTest, outcome: HoldTestOutcome): string[] {
  const { method, unit } = test;
  const { temperatureDoubt, allowedMinutes } = outcome;
  const doubts: string[] = [];
  if (temperatureDoubt !== null) doubts.push(temperatureDoubt);
  // From so little nothing that could be seen can be lost, whatever the leak.
  if (test.startKpa <= outcome.allowedLossKpa + outcome.uncertaintyKpa)
    doubts.push(
      `Nothing was tested: the ${method} at the start was ${say(test.startKpa, 'kPa', unit)}, no more than the test may lose.`,
    );
  const short = startedShort(test, outcome);
  if (short !== null) doubts.push(short);
  if (test.minutes < allowedMinutes * (1 - TOLERANCE)) {
    doubts.push(
      `Held ${plain(test.minutes)} of ${plain(allowedMinutes)} minutes: hold it for ${plain(allowedMinutes)}.`,
    );
  }
  if (temperatureDoubt === null && outcome.lossKpa < -outcome.uncertaintyKpa * (1 + TOLERANCE)) {
    doubts.push(
      `The ${method} grew by ${say(-outcome.lossKpa, 'kPa', unit)}, which a system at a steady temperature does not do. Let it settle, read both temperatures, and repeat.`,
    );
  }
  const deepestAbsoluteKpa = outcome.atmosphereKpa - Math.max(test.startKpa, test.endKpa);
  if (
    method === 'vacuum' &&
    outcome.vapourKpa > 0 &&
    deepestAbsoluteKpa < outcome.vapourKpa * (1 - TOLERANCE)
  ) {
    doubts.push(
      `The vacuum is below the coolant's vapour pressure: it boils, and looks like a leak. Let it cool, or stay under ${say(outcome.atmosphereKpa - outcome.vapourKpa, 'kPa', unit, 'down')}.`,
    );
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

function startedShort(test: DoubtfulTest, outcome: HoldTestOutcome): string | null {
  const { method, startKpa, unit } = test;
  const { targetHereKpa, gaugeResolutionKpa } = outcome;
  if (targetHereKpa === null) return null;
  const { shownKpa, leastKpa } = leastStart(method, targetHereKpa, gaugeResolutionKpa, unit);
  if (startKpa >= leastKpa - TOLERANCE * targetHereKpa) return null;
  const target = say(shownKpa, 'kPa', unit);
  return `Started at ${say(startKpa, 'kPa', unit)}, short of the ${target} needed ${method === 'vacuum' ? 'at this elevation' : 'here'}. ${method === 'vacuum' ? 'Pull' : 'Pump up to'} ${target} and repeat.${slip(test, targetHereKpa)}`;
}

function slip(test: DoubtfulTest, targetHereKpa: number): string {
  const typed = convert(test.startKpa, 'kPa', test.unit);
  const meant = unitsOf('pressure').find((candidate) => {
    const ratio = convert(typed, candidate, 'kPa') / targetHereKpa;
    return candidate !== test.unit && test.startKpa < 0.5 * targetHereKpa && ratio > 0.9 && ratio < 1.25;
  });
  return meant ? ` Was it ${plain(typed)} ${unitInWords(meant)}?` : '';
}
