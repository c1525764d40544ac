import type { CommonPractice } from '../checks/common-practice.js';
import { plain, say, sayChange, unitInWords } from '../checks/wording.js';
import { convert, unitsOf, type Unit } from '../quantities/units.js';

/** What a hold test came to, as far as its soundness goes; kPa and minutes. */
export interface HoldTestOutcome {
  lossKpa: number;
  uncertaintyKpa: number;
  targetHereKpa: number | null;
  allowedMinutes: number;
  atmosphereKpa: number;
  vapourKpa: number;
  place: string;
}

interface DoubtfulTest {
  method: 'vacuum' | 'pressure';
  startKpa: number;
  endKpa: number;
  minutes: number;
  unit: Unit;
  temperatureUnit?: Unit;
  coolantTemperatureC?: number | null;
  wet?: boolean | null;
  startTemperatureC?: number | null;
  endTemperatureC?: number | null;
}

const TOLERANCE = 1e-6;

/**
 * Why a hold test that shows no leak is still no pass, each with what would settle it: started short of the target, held too short, gained, boiled, hot, or
 * changed in temperature.
 *
 * @param test gauge pressures in kPa, minutes, °C
 * @returns one sentence or two for each doubt; empty for a sound test
 * @example holdTestDoubts(test, { ...outcome, allowedMinutes: 5 }, COMMON_PRACTICE) // ['Held 3 of 5 minutes: hold it for 5.']
 */
export function holdTestDoubts(
  test: DoubtfulTest,
  outcome: HoldTestOutcome,
  practice: CommonPractice,
): string[] {
  const { method, unit } = test;
  const doubts: string[] = [];
  if (test.startKpa <= 0) doubts.push(`Nothing was tested: the ${method} at the start is 0.`);
  const { targetHereKpa } = outcome;
  if (targetHereKpa !== null && test.startKpa < targetHereKpa * (1 - TOLERANCE)) {
    doubts.push(
      `Started at ${say(test.startKpa, 'kPa', unit)}, short of the ${say(targetHereKpa, 'kPa', unit)} to be reached ${method === 'vacuum' ? outcome.place : 'here'}: repeat from there.${slip(test, targetHereKpa)}`,
    );
  }
  if (test.minutes < outcome.allowedMinutes * (1 - TOLERANCE)) {
    doubts.push(
      `Held ${plain(test.minutes)} of ${plain(outcome.allowedMinutes)} minutes: hold it for ${plain(outcome.allowedMinutes)}.`,
    );
  }
  if (outcome.lossKpa < -outcome.uncertaintyKpa * (1 + TOLERANCE)) {
    doubts.push(
      `The ${method} grew by ${say(-outcome.lossKpa, 'kPa', unit)}, which a sound system at a steady temperature does not do: let it settle, read both temperatures, and repeat.`,
    );
  }
  const deepestAbsoluteKpa = outcome.atmosphereKpa - Math.max(test.startKpa, test.endKpa);
  if (
    method === 'vacuum' &&
    outcome.vapourKpa > 0 &&
    deepestAbsoluteKpa < outcome.vapourKpa * (1 - TOLERANCE)
  ) {
    doubts.push(
      `The vacuum is below the coolant's vapour pressure: it boils, and looks like a leak. Let it cool, or stay under ${say(outcome.atmosphereKpa - outcome.vapourKpa, 'kPa', unit)}.`,
    );
  }
  doubts.push(...temperatureDoubts(test, practice));
  return doubts;
}

// A sealed wet system cooling from 60 to 50 °C gains about 1.8 inHg by itself, which hides a leak. A dry one is put right by the gas law instead.
function temperatureDoubts(test: DoubtfulTest, practice: CommonPractice): string[] {
  if (test.method === 'vacuum' && test.wet === false) return [];
  const startC = test.startTemperatureC ?? null;
  const endC = test.endTemperatureC ?? null;
  const wet = test.method === 'pressure' || test.wet === true;
  const known = [test.coolantTemperatureC ?? null, ...(wet ? [startC, endC] : [])].filter((c) => c !== null);
  const hottestC = Math.max(-Infinity, ...known);
  const doubts: string[] = [];
  if (hottestC > practice.hotCoolantC) {
    doubts.push(
      `The coolant was at ${say(hottestC, 'C', test.temperatureUnit)}: repeat below ${say(practice.hotCoolantC, 'C', test.temperatureUnit)} (common practice), because cooling coolant hides a leak.`,
    );
  }
  if (
    wet &&
    startC !== null &&
    endC !== null &&
    Math.abs(endC - startC) > practice.coolantChangeK * (1 + TOLERANCE)
  ) {
    doubts.push(
      `The temperature changed by ${sayChange(Math.abs(endC - startC), test.temperatureUnit)} during the test: repeat with a change of no more than ${sayChange(practice.coolantChangeK, test.temperatureUnit)} (common practice).`,
    );
  }
  return doubts;
}

function slip(test: DoubtfulTest, targetHereKpa: number): string {
  const typed = convert(test.startKpa, 'kPa', test.unit);
  const meant = unitsOf('pressure').find((candidate) => {
    const ratio = convert(typed, candidate, 'kPa') / targetHereKpa;
    return candidate !== test.unit && test.startKpa < 0.5 * targetHereKpa && ratio > 0.9 && ratio < 1.25;
  });
  return meant ? ` Was it ${plain(typed)} ${unitInWords(meant)}?` : '';
}
