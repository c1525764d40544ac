import type { CoolantBase } from '../coolant/coolant.js';
import { endOfFreezingTable, mixtureByFreezePoint } from '../coolant/freezing-table.js';
import type { CommonPractice } from '../evaluation/common-practice.js';
import type { Findings } from '../evaluation/findings.js';
import { requirePercent } from '../quantities/plausible.js';
import { told, toldChange, toldPercent } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import type { StrengthReading } from './freeze-point-value.js';
import { message } from './messages.js';

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
    findings.remarks.push(message('freeze-point-no-low-temperature'));
    return;
  }
  const { freezePointC, beyondTable } = strength;
  if (freezePointC === null) {
    const end = toldPercent(endOfFreezingTable(base).volumePercent);
    findings.doubts.push(message('freeze-point-beyond-table', { end }));
    return;
  }
  const endC = endOfFreezingTable(base).freezePointC;
  const neededC = designLowC - practice.freezeMarginC;
  // Shown to a tenth if whole degrees would hide on which side of the requirement it is.
  const isClose = Math.abs(Math.abs(freezePointC - neededC) - uncertaintyC) < 1;
  const rounding = isClose ? 'tenths' : 'nearest';
  const need = {
    needed: told('temperature', neededC, unit, rounding),
    lowest: told('temperature', designLowC, unit),
    margin: toldChange(practice.freezeMarginC, unit),
  };
  const protection = {
    read: told('temperature', freezePointC, unit, rounding),
    uncertainty: toldChange(uncertaintyC, unit),
    ...need,
  };
  if (!beyondTable && freezePointC - uncertaintyC > neededC) {
    if (trustworthy || flatters) findings.fails.push(message('freeze-point-protects-too-little', protection));
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
      ? message('freeze-point-at-table-end', { end: told('temperature', endC, unit), ...need })
      : message('freeze-point-too-close', protection),
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
  const strength = toldPercent(readPercent);
  const band = {
    strength,
    weakest: toldPercent(weakest, 'down'),
    end: strongest === null ? 'open' : 'known',
    strongest: toldPercent(strongest ?? readPercent, 'up'),
  } as const;
  if ((strongest ?? readPercent) < WEAKEST_PERCENT) {
    findings.fails.push(message('strength-too-weak', { strength, least: WEAKEST_PERCENT }));
  } else if (weakest < WEAKEST_PERCENT) {
    findings.doubts.push(message('strength-close-to-least', { ...band, least: WEAKEST_PERCENT }));
  }
  if (weakest > mostPercent) {
    findings.fails.push(message('strength-too-strong', { known: 'yes', strength, most: mostPercent }));
  } else if ((strongest ?? readPercent) > mostPercent) {
    findings.doubts.push(message('strength-close-to-most', { ...band, most: mostPercent }));
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

function judgeBeyondTable(endPercent: number, most: number, findings: Findings): void {
  const strength = toldPercent(endPercent, 'down');
  if (endPercent >= most)
    findings.fails.push(message('strength-too-strong', { known: 'no', strength, most }));
  else findings.doubts.push(message('strength-beyond-table', { strength, most }));
}
