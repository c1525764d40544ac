import { plain } from '../quantities/wording.js';
import type { CoolantBase, CoolantTechnology } from '../coolant/coolant.js';
import { MIXING_WATER } from '../coolant/water.js';
import { coolantToBring } from '../filling/coolant-to-bring.js';
import { drainToReach, strengthAfterAdding } from '../filling/dilution.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure, type Measure, type UnitSystem } from '../quantities/measures.js';
import type { CardWork } from './card-work.js';
import { inWords } from './words.js';

/** Taken where the spec sheet has no target: the middle of what ASTM D6210 covers, volume %; common practice. */
export const DEFAULT_TARGET_STRENGTH_PERCENT = 50;

/** The coolant of a spec sheet; L and volume %. Null is not on the sheet. */
export interface SheetCoolant {
  base: CoolantBase;
  technology: CoolantTechnology | null;
  capacityL: number;
  drainableL: number | null;
  targetStrengthPercent: number | null;
}

/** What to pour, with how to pour it. */
export interface ToPour {
  concentrate: Measure;
  water: Measure;
  note: string;
}

/** The coolant part of a job card. */
export interface CoolantForJob {
  base: CoolantBase;
  technology: CoolantTechnology | null;
  capacity: Measure;
  drains: Measure | null;
  /** What stays in block and heater when it is drained; null where the sheet does not say. */
  stays: Measure | null;
  targetStrengthPercent: number;
  /** About how much comes out for the work asked, of what drains; null where nothing comes out. */
  comesOut: Measure | null;
  /** For the work asked; null where nothing is filled, or the target cannot be reached. */
  bring: ToPour | null;
  /** In place of concentrate and water, where what stays is coolant. */
  premix: { volume: Measure; strengthPercent: number; endsAtPercent: number } | null;
  /** Where the system is flushed with water first: what stays is water then. */
  afterWaterFlush: ToPour | null;
  /** Bringing the strength to the target without emptying the system. */
  adjust: { drain: Measure; pour: 'concentrate' | 'water'; fromPercent: number } | null;
}

/**
 * What coolant to bring for a job, and how to pour it.
 *
 * Source: conservation of volume, volumes taken as additive (`coolantToBring`, `drainToReach`).
 * Where only some comes out, what is to bring is as much at the target, in
 * case what was caught is not clean enough to pour back (common practice). After a water flush what
 * stays is water, so that neat
 * concentrate of capacity × target goes in first. Where the sheet does not say what drains out, enough for the whole system is reckoned.
 *
 * @param coolant the sheet's; L, volume %
 * @param work what the job comes to
 * @param strengthPercent latest known strength in the system, volume %; null takes what stays to be as strong as the target
 * @param units for wording
 * @returns the card's part, and what kept it from being complete
 * @example coolantForJob(sheet of 14 L, of which 9.5 L drain, at 50 %, workOf(a flush), null, 'si').coolant.bring // 7 L concentrate, 2.5 L water
 */
export function coolantForJob(
  coolant: SheetCoolant,
  work: CardWork,
  strengthPercent: number | null,
  units: UnitSystem,
): { coolant: CoolantForJob; missing: string[]; basis: string[] } {
  const { base, technology, capacityL, drainableL } = coolant;
  const missing: string[] = [];
  const basis: string[] = [];
  const target = coolant.targetStrengthPercent ?? DEFAULT_TARGET_STRENGTH_PERCENT;
  if (coolant.targetStrengthPercent === null) {
    missing.push(`The sheet has no target strength: ${plain(target)} % is taken (common practice).`);
  }
  const staysL = drainableL === null ? null : capacityL - drainableL;
  const attempt = <T>(what: () => T): T | null => {
    try {
      return what();
    } catch (error) {
      if (!(error instanceof ImpossibleValue)) throw error;
      missing.push(`Coolant: ${error.detail}.`);
      return null;
    }
  };
  const pour = (staysStrengthPercent: number): { concentrateL: number; waterL: number } =>
    coolantToBring({ capacityL, staysL: staysL ?? 0, staysStrengthPercent, targetStrengthPercent: target });
  const sumBasis =
    'concentrate and water: conservation of volume, volumes taken as additive; strengths in volume %';

  const card: CoolantForJob = {
    base,
    technology,
    capacity: measure('volume', capacityL),
    drains: drainableL === null ? null : measure('volume', drainableL),
    stays: staysL === null ? null : measure('volume', staysL),
    targetStrengthPercent: target,
    comesOut: null,
    bring: null,
    premix: null,
    afterWaterFlush: null,
    adjust: null,
  };
  if (work.opens === 'some') {
    basis.push(sumBasis);
    Object.assign(card, partlyDrained());
  }
  if (work.opens === 'all') {
    basis.push(sumBasis);
    card.comesOut = card.drains;
    if (drainableL === null)
      missing.push(
        'The sheet does not say what drains out: enough for the whole system is reckoned. Measure what comes out, and pour in as much.',
      );
    const flushed = attempt(() => pour(0));
    card.afterWaterFlush = flushed && {
      ...poured(flushed),
      note: `What stays after a flush is water: neat concentrate first, all ${inWords('volume', flushed.concentrateL, units)}; then fill up with ${MIXING_WATER}.`,
    };
    if (work.flushes) card.bring = card.afterWaterFlush;
    else Object.assign(card, drainedAndFilled());
  }
  if (work.adjustsStrength) {
    basis.push(sumBasis);
    card.adjust = adjusted();
  }
  return { coolant: card, missing, basis };

  function poured(amounts: { concentrateL: number; waterL: number }): Omit<ToPour, 'note'> {
    return {
      concentrate: measure('volume', amounts.concentrateL),
      water: measure('volume', amounts.waterL),
    };
  }

  function drainedAndFilled(): Pick<CoolantForJob, 'bring' | 'premix'> {
    const stays = strengthPercent ?? target;
    basis.push(
      strengthPercent === null
        ? `what stays in block and heater is taken to be at the target, ${plain(target)} %: its strength is not known`
        : `what stays in block and heater is at ${plain(strengthPercent)} %, the latest strength known`,
    );
    const mixed = attempt(() => pour(stays));
    const roomL = capacityL - (staysL ?? 0);
    return {
      bring: mixed && {
        ...poured(mixed),
        note: `Mix before pouring: ${inWords('volume', mixed.concentrateL, units)} of concentrate with ${inWords('volume', mixed.waterL, units)} of ${MIXING_WATER}.`,
      },
      premix: {
        volume: measure('volume', roomL),
        strengthPercent: target,
        endsAtPercent: staysL === null ? target : strengthAfterAdding(staysL, stays, roomL, target),
      },
    };
  }

  function partlyDrained(): Pick<CoolantForJob, 'comesOut' | 'bring' | 'premix'> {
    const outL = (drainableL ?? capacityL) * work.comesOutShare;
    const concentrateL = (outL * target) / 100;
    const left = strengthPercent ?? target;
    basis.push(
      `about ${plain(100 * work.comesOutShare)} % of what drains comes out for this work (common practice)`,
    );
    const spare = poured({ concentrateL, waterL: outL - concentrateL });
    return {
      comesOut: measure('volume', outL),
      bring: {
        ...spare,
        note: `In case what came out is not clean enough to pour back: ${inWords('volume', spare.concentrate.value, units)} of concentrate mixed with ${inWords('volume', spare.water.value, units)} of ${MIXING_WATER}.`,
      },
      premix: {
        volume: measure('volume', outL),
        strengthPercent: target,
        endsAtPercent: strengthAfterAdding(capacityL - outL, left, outL, target),
      },
    };
  }

  function adjusted(): CoolantForJob['adjust'] {
    if (strengthPercent === null) {
      missing.push('The strength is not known: read it first, then work out what to drain and replace.');
      return null;
    }
    const pours = strengthPercent <= target ? 'concentrate' : 'water';
    const drainL = attempt(() =>
      drainToReach(capacityL, strengthPercent, pours === 'concentrate' ? 100 : 0, target),
    );
    if (drainL === null) return null;
    if (drainableL !== null && drainL > drainableL) {
      missing.push(
        `Coolant: ${inWords('volume', drainL, units)} would have to be replaced, more than drains out at once: drain and fill twice, running the engine in between.`,
      );
    }
    return { drain: measure('volume', drainL), pour: pours, fromPercent: strengthPercent };
  }
}
