import { parseBeltDesignation } from '../belt/designation.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Opening } from '../intervals/circuit-opening.js';
import type { MeasuredCondition } from '../coolant-condition/inhibitor-limits.js';
import type { Verdict } from '../evaluation/evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { WorkLine } from '../intervals/types.js';
import { atmosphereAt, type Whereabouts } from '../atmosphere/atmosphere.js';
import type { HoldTestLimits } from '../pressure/hold-test-procedure.js';
import { measure, type Measure, MEASURES, type UnitSystem } from '../quantities/measures.js';
import { type AdditiveForJob, additiveForJob, type AdditiveSheet } from './additive-for-job.js';
import { type BoilOverForJob, boilOverForJob } from './boil-over-for-job.js';
import { cautionsOfJob, isAtBelt, isTakenApart, workOf } from './card-work.js';
import { withDose } from './with-dose.js';
import {
  type CoolantForJob,
  coolantForJob,
  DEFAULT_TARGET_STRENGTH_PERCENT,
  type SheetCoolant,
} from './coolant-for-job.js';
import { type CardFastener, fastenersForJob, type SheetFastener } from './fasteners-for-job.js';
import { type HoldTestForJob, holdTestForJob } from './hold-test-for-job.js';
import { type Step, stepsOf } from './steps.js';
import { componentInWords } from './words.js';

export interface CardPart {
  component: string;
  description: string;
  quantity: number;
  partNumber: string | null;
}

/** What a job card is drawn from, of a spec sheet. */
export interface CardSheet {
  coolant: SheetCoolant;
  capRatingKpa: number | null;
  holdTest: HoldTestLimits;
  /** Null where the sheet has nothing of it. */
  additive?: AdditiveSheet | null;
  fasteners: readonly SheetFastener[];
  belts: readonly { name: string; designation: string | null }[];
  parts: readonly CardPart[];
}

/** What a job card is drawn from; null is not known. */
export interface JobCardInput extends Whereabouts {
  lines: readonly WorkLine[];
  sheet: CardSheet | null;
  /** Latest known strength in the system, volume %. */
  strengthPercent: number | null;
  /**
   * Latest reading of the coolant's inhibitors since it was replaced; absent or null where there is
   * none.
   */
  condition?: MeasuredCondition | null;
  /** Verdict of the latest freeze point; absent or null where there is none. */
  freezePointVerdict?: Verdict | null;
  /** A loss alert or a leak stands that a passed vacuum test would not settle. */
  losesCoolant: boolean;
  /** The machine counts engine hours and no distance: no distance is told. */
  isHourOnly?: boolean;
  /** What the fleet changed of the trade's defaults. */
  practice?: Partial<CommonPractice> | null;
  /** The reader's, for sentences; quantities are measures. */
  units: UnitSystem;
}

export interface CardBelt {
  name: string;
  designation: string | null;
  ribs: number | null;
  effectiveLength: Measure | null;
  width: Measure | null;
}

/** What a mechanic takes along, as far as it can be worked out. */
export interface JobCardContent {
  /** How much of the coolant comes out. */
  opens: Opening;
  steps: Step[];
  parts: CardPart[];
  fasteners: CardFastener[];
  coolant: CoolantForJob | null;
  /** To pour in for what the latest reading lacked. */
  additive: AdditiveForJob | null;
  holdTest: HoldTestForJob | null;
  /** A pressure test besides, where coolant is being lost: a vacuum pulls a leaking seal shut. */
  proofTest: HoldTestForJob | null;
  boilOver: BoilOverForJob | null;
  belts: CardBelt[];
  beltRouting: string | null;
  missing: string[];
  cautions: string[];
  basis: string[];
}

/**
 * What to take along for a job on one vehicle: parts, torques, coolant, hold test and steps for the lines asked, and whatever is missing for want of a spec sheet, an
 * elevation or a field of the sheet. It is always made: what is not known is said, and left to the vehicle maker's information.
 *
 * Source: see `coolantForJob`, `holdTestForJob`, `boilOverForJob`, `torqueLimits`, `stepsOf`.
 *
 * @param input the lines, the sheet in canonical units, m of elevation or kPa of barometer, and the reader's units for sentences
 * @throws ImpossibleValue for an elevation beyond the standard atmosphere.
 * @example jobCard({ lines: [], sheet: null, strengthPercent: null, losesCoolant: false, units: 'si' }).missing.length // 1
 */
export function jobCard(input: JobCardInput): JobCardContent {
  const { lines, sheet, units } = input;
  const practice: CommonPractice = { ...COMMON_PRACTICE, ...input.practice };
  const dosed = sheet?.additive
    ? additiveForJob(lines, sheet.additive, input.condition ?? null, practice)
    : null;
  const work = withDose(workOf(lines), dosed, {
    strengthPercent: input.strengthPercent,
    targetStrengthPercent: sheet?.coolant.targetStrengthPercent ?? DEFAULT_TARGET_STRENGTH_PERCENT,
    freezePointVerdict: input.freezePointVerdict ?? null,
  });
  const atmosphere = atmosphereAt(input, MEASURES.vacuum[units]);
  const missing: string[] = [];
  const basis: string[] = [];
  const take = ({ missing: lacking, basis: used }: { missing?: string[]; basis: string[] }): void => {
    missing.push(...(lacking ?? []));
    basis.push(...used);
  };
  const touchesCoolant = work.opensCircuit || work.readsStrength || work.readsLevel || work.holdTest;
  if (sheet === null) {
    missing.push(
      "This vehicle has no spec sheet: take parts, torques, coolant, hold test and belts from the vehicle maker's information.",
    );
  }
  if (touchesCoolant || sheet !== null) basis.push(atmosphere.basis);
  if (atmosphere.source === 'assumed' && touchesCoolant) {
    missing.push(
      'No elevation is known: sea level is taken. Higher up the target of a vacuum is lower, and coolant boils sooner.',
    );
  }

  let coolant: CoolantForJob | null = null;
  if (sheet !== null && touchesCoolant) {
    const found = coolantForJob(sheet.coolant, work, input.strengthPercent, units);
    take(found);
    coolant = found.coolant;
    if (coolant.technology === null && work.opensCircuit)
      missing.push("The sheet does not name the coolant's technology: colour is no evidence of it.");
  }
  if (dosed !== null) take(dosed);
  const { holdTest, proofTest } = holdTests();
  const fasteners = sheet === null ? [] : fastenersOf(sheet);
  const belts = work.belt ? beltsOf() : [];
  return {
    opens: work.opens,
    steps: stepsOf(lines, {
      work,
      coolant,
      holdTest,
      proofTest,
      additive: dosed?.additive ?? null,
      atmosphereKpa: atmosphere.kpa,
      fasteners,
      isHourOnly: input.isHourOnly ?? false,
      units,
      practice,
    }),
    parts: partsOf(),
    fasteners,
    coolant,
    additive: dosed?.additive ?? null,
    holdTest,
    proofTest,
    boilOver: boilOver(),
    belts,
    beltRouting: work.belt ? "By the vehicle maker's diagram: it is not kept here." : null,
    missing,
    cautions: cautionsOfJob(
      work,
      [holdTest, proofTest].flatMap((test) => (test === null ? [] : [test.method])),
    ),
    basis: [...new Set(basis)],
  };

  function holdTests(): Pick<JobCardContent, 'holdTest' | 'proofTest'> {
    if (sheet === null) return { holdTest: null, proofTest: null };
    const { holdTest: limits } = sheet;
    const madeFor = (method: 'vacuum' | 'pressure'): HoldTestForJob => {
      const found = holdTestForJob(method, limits, atmosphere, units, practice);
      take(found);
      return found.test;
    };
    let asked: HoldTestForJob | null = null;
    if (work.holdTest) {
      if (limits.procedureMethod == null)
        missing.push('The sheet has no hold-test procedure: common practice is given.');
      asked = madeFor(methodFor(limits));
    }
    const proves = input.losesCoolant && asked?.method !== 'pressure';
    return { holdTest: asked, proofTest: proves ? madeFor('pressure') : null };
  }

  /**
   * A vacuum prepares the filling of a drained system. One that keeps most of its coolant is tested
   * filled, by pressure, where a rating is known.
   */
  function methodFor(limits: HoldTestLimits): 'vacuum' | 'pressure' {
    const isRated = (limits.maxTestPressureKpa ?? limits.capRatingKpa) != null;
    if (work.opens === 'some' && isRated) return 'pressure';
    // Without a procedure on the sheet: the test that common practice gives a target for.
    return limits.procedureMethod ?? (isRated ? 'pressure' : 'vacuum');
  }

  function partsOf(): CardPart[] {
    if (sheet === null) return [];
    const wanted = new Set<string>(lines.filter(usesParts).map(({ component }) => component));
    const parts = sheet.parts.filter(({ component }) => wanted.has(component));
    const without = new Set(
      lines
        .filter(({ component, action }) => action === 'replace' && component !== 'coolant')
        .map(({ component }) => component)
        .filter((component) => !parts.some((part) => part.component === component))
        // A belt is known by its designation.
        .filter((component) => component !== 'drive-belt' || !sheet.belts.some((belt) => belt.designation)),
    );
    if (without.size > 0)
      missing.push(`The sheet has no part for: ${[...without].map(componentInWords).join(', ')}.`);
    return parts.map((part) => ({ ...part }));
  }

  function fastenersOf(from: CardSheet): CardFastener[] {
    const found = fastenersForJob(lines, work, from.fasteners, practice, units);
    take(found);
    return found.fasteners;
  }

  function beltsOf(): CardBelt[] {
    if (sheet === null) return [];
    const atBelt = lines.filter(isAtBelt);
    const isBelt = (item: string | null): boolean => sheet.belts.some(({ name }) => name === item);
    const named = new Set(
      atBelt.map(({ component, item }) => (component === 'drive-belt' || isBelt(item) ? item : null)),
    );
    // A line that names no belt may mean any of them: a pump or a pulley may sit on each.
    const wanted = sheet.belts.filter(({ name }) => named.has(null) || named.has(name));
    if (wanted.length === 0 || wanted.some(({ designation }) => designation === null))
      missing.push("The sheet lacks a belt's designation: read it off the old belt, or from the maker.");
    return wanted.map(beltOnCard);
  }

  function beltOnCard({ name, designation }: { name: string; designation: string | null }): CardBelt {
    const unread = { name, designation, ribs: null, effectiveLength: null, width: null };
    if (designation === null) return unread;
    try {
      const { text, ribs, effectiveLengthMm, widthMm } = parseBeltDesignation(designation);
      return {
        name,
        designation: text,
        ribs,
        effectiveLength: effectiveLengthMm === null ? null : measure('size', effectiveLengthMm),
        width: widthMm === null ? null : measure('size', widthMm),
      };
    } catch (error) {
      if (!(error instanceof ImpossibleValue)) throw error;
      missing.push(`Belt ${name}: ${error.detail}.`);
      return unread;
    }
  }

  function boilOver(): BoilOverForJob | null {
    const touchesCap = lines.some(({ component }) => component === 'radiator-cap');
    if (sheet === null || !(touchesCoolant || touchesCap)) return null;
    if (sheet.capRatingKpa === null)
      missing.push('The sheet has no cap rating: where the coolant boils under the cap is not known.');
    const strength = sheet.coolant.targetStrengthPercent ?? DEFAULT_TARGET_STRENGTH_PERCENT;
    try {
      const found = boilOverForJob(sheet.coolant.base, strength, sheet.capRatingKpa, atmosphere, units);
      take(found);
      return found.boilOver;
    } catch (error) {
      if (!(error instanceof ImpossibleValue)) throw error;
      missing.push(`Boiling point: ${error.detail}.`);
      return null;
    }
  }
}

/** Looking, testing and adjusting use no parts up. */
function usesParts(line: WorkLine): boolean {
  return (
    (isTakenApart(line) && line.action !== 'adjust') ||
    line.component === 'coolant' ||
    line.action === 'flush'
  );
}
