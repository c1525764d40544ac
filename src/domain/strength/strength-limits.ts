import type { CoolantBase } from '../coolant/coolant.js';
import { endOfFreezingTable, mixtureByFreezePoint } from '../coolant/freezing-table.js';
import { MIXING_WATER } from '../coolant/water.js';
import type { CommonPractice } from '../evaluation/common-practice.js';
import type { Findings } from '../evaluation/findings.js';
import { requirePercent } from '../quantities/plausible.js';
import type { Unit } from '../quantities/units.js';
import { plain, say, sayChange, sayPercent, sayTenths } from '../quantities/wording.js';
import type { StrengthReading } from './freeze-point-value.js';

/** Least strength against corrosion and boiling, volume % (ASTM D6210). */
export const WEAKEST_PERCENT = 40;
/** Most strength where the spec sheet has no limit of its own, volume % (ASTM D6210). */
export const STRONGEST_PERCENT = 60;

/** A strength with its uncertainty, ready to be held against limits; °C. */
export interface StrengthInQuestion {
  base: CoolantBase;
  strength: StrengthReading;
  /** What the instrument showed, where that is a temperature; else null. */
  shownC: number | null;
  uncertaintyC: number;
  /** The unit for temperatures in words. */
  unit: Unit;
  /** False where the scale or a mixture of bases makes the value worthless for a pass. */
  trustworthy: boolean;
  /** A wrong scale that reads too good: what fails on it fails all the more in truth. */
  flatters: boolean;
}

/**
 * Holds the freeze point against the lowest temperature with its margin, a guard band of the
 * uncertainty on both sides (JCGM 106).
 *
 * @param designLowC °C, or null when unknown
 * @param findings where the finding goes
 * @example judgeProtection(question, -30, COMMON_PRACTICE, findings) // a fail unless it protects to -33 °C
 */
export function judgeProtection(
  question: StrengthInQuestion,
  designLowC: number | null,
  practice: CommonPractice,
  findings: Findings,
): void {
  const { base, strength, uncertaintyC, unit, trustworthy, flatters } = question;
  if (designLowC === null) {
    findings.remarks.push(
      'No lowest temperature is known for this vehicle or its depot, so the protection itself was not judged.',
    );
    return;
  }
  const { freezePointC, beyondTable } = strength;
  if (freezePointC === null) {
    findings.doubts.push(
      `Its freeze point is not known: the table ends at ${sayPercent(endOfFreezingTable(base).volumePercent)} %. Weaken it with a little ${MIXING_WATER} and read it again.`,
    );
    return;
  }
  const endC = endOfFreezingTable(base).freezePointC;
  const neededC = designLowC - practice.freezeMarginC;
  // Told to a tenth where whole degrees would hide on which side of what is needed it lies.
  const isClose = Math.abs(Math.abs(freezePointC - neededC) - uncertaintyC) < 1;
  const degrees = isClose ? sayTenths : say;
  const against = `needed ${degrees(neededC, 'C', unit)} (lowest temperature ${say(designLowC, 'C', unit)} less ${sayChange(practice.freezeMarginC, unit)})`;
  const read = `${degrees(freezePointC, 'C', unit)} ±${sayChange(uncertaintyC, unit)}`;
  if (!beyondTable && freezePointC - uncertaintyC > neededC) {
    if (trustworthy || flatters) findings.fails.push(`Protects to ${read}; ${against}.`);
    return;
  }
  // Beyond the table the reading is worth its end, or less where its uncertainty reaches back over
  // it.
  const weakestC = beyondTable
    ? Math.max(endC, (question.shownC ?? endC) + uncertaintyC)
    : freezePointC + uncertaintyC;
  if (!trustworthy || weakestC <= neededC) return;
  findings.doubts.push(
    beyondTable
      ? `Protects to at least ${say(endC, 'C', unit)}, where the table ends; ${against}.`
      : `Too close to tell: protects to ${read}; ${against}. A finer instrument or a little concentrate settles it.`,
  );
}

/**
 * Holds the strength against the least and the most, the uncertainty of the freeze point carried
 * over to volume %.
 *
 * @param mostPercent volume %
 * @param findings where the findings go
 * @throws ImpossibleValue when `mostPercent` is outside 0 to 100.
 * @example judgeStrength(question, 60, findings) // a fail for a certain 35 %
 */
export function judgeStrength(question: StrengthInQuestion, mostPercent: number, findings: Findings): void {
  requirePercent('strengthMax', mostPercent);
  if (question.strength.mixture === null || !question.trustworthy) return;
  const known = strengthBand(question);
  if (known === null) {
    judgeBeyondTable(question.strength.mixture.volumePercent, mostPercent, findings);
    return;
  }
  const { readPercent, weakest, strongest } = known;
  const shown = `${sayPercent(readPercent)} volume %`;
  const band = `${shown} (${sayPercent(weakest, 'down')} to ${strongest === null ? 'beyond the table' : sayPercent(strongest, 'up')})`;
  if ((strongest ?? readPercent) < WEAKEST_PERCENT) {
    findings.fails.push(
      `Too weak: ${shown}; at least ${WEAKEST_PERCENT} is needed against corrosion and boiling, whatever the climate.`,
    );
  } else if (weakest < WEAKEST_PERCENT) {
    findings.doubts.push(
      `Too close to tell: ${band}; at least ${WEAKEST_PERCENT} is needed. A finer instrument or a little concentrate settles it.`,
    );
  }
  if (weakest > mostPercent) {
    findings.fails.push(tooStrong(shown, mostPercent));
  } else if ((strongest ?? readPercent) > mostPercent) {
    findings.doubts.push(
      `Too close to tell: ${band}; at most ${plain(mostPercent)} is allowed. A finer instrument settles it.`,
    );
  }
}

/**
 * What the uncertainty of the reading leaves open, volume %. Null where the strength itself is not
 * known.
 */
function strengthBand({
  base,
  strength: { mixture, strength, beyondTable },
  uncertaintyC,
}: StrengthInQuestion): { readPercent: number; weakest: number; strongest: number | null } | null {
  if (mixture === null || strength === null) return null;
  const percentAt = (freezePointC: number): number | null =>
    mixtureByFreezePoint(base, Math.min(0, freezePointC))?.volumePercent ?? null;
  const readPercent = strength.volumePercent;
  const weaker = percentAt(mixture.freezePointC + uncertaintyC) ?? 0;
  // Beyond the table a degree is taken to be worth as much as at the table's end.
  if (beyondTable) {
    const halfBand = mixture.volumePercent - weaker;
    return { readPercent, weakest: readPercent - halfBand, strongest: Math.min(100, readPercent + halfBand) };
  }
  // Null where the band leaves the table: then the reading itself is what can be judged.
  return { readPercent, weakest: weaker, strongest: percentAt(mixture.freezePointC - uncertaintyC) };
}

function judgeBeyondTable(endPercent: number, mostPercent: number, findings: Findings): void {
  const shown = `more than ${sayPercent(endPercent, 'down')} volume %`;
  if (endPercent >= mostPercent) {
    findings.fails.push(tooStrong(shown, mostPercent));
  } else {
    findings.doubts.push(
      `Stronger than the table reaches (${shown}), so whether it is above the ${plain(mostPercent)} % allowed is not known: thin a sample with as much ${MIXING_WATER} and read that.`,
    );
  }
}

function tooStrong(shown: string, mostPercent: number): string {
  return `Too strong: ${shown}, at most ${plain(mostPercent)}. Drain some and replace it with ${MIXING_WATER}.`;
}
