import type { CommonPractice } from '../../evaluation/common-practice.js';
import { type FastenerGroup, torqueLimits } from '../../fastening/fastener-group.js';
import { componentTerm } from '../../intervals/terms.js';
import type { Component, WorkLine } from '../../intervals/types.js';
import { measure, type Measure, MEASURES, type UnitSystem } from '../../quantities/measures.js';
import { type CardWork, hasBolts, isTakenApart } from '../work/card-work.js';
import type { Message } from '../../message.js';
import { message } from '../messages.js';

/**
 * A group of fasteners of a sheet, with the component that it holds; null or missing: the sheet
 * does not say.
 */
export interface SheetFastener extends FastenerGroup {
  count: number;
  component?: string | null;
}

/** How a group of fasteners is tightened. */
export interface CardFastener {
  name: string;
  count: number;
  /** What it holds; null where the sheet does not say. */
  component: string | null;
  torque: Measure | null;
  min: Measure;
  max: Measure;
  /** Null where the sheet has least and most. */
  tolerancePercent: number | null;
  angle: string | null;
}

/** Bolts are undone for it only where its tensioner has some. */
const SELDOM_BOLTED: ReadonlySet<string> = new Set(['drive-belt', 'other'] satisfies Component[]);

/**
 * The fasteners of a job: those of the parts that are taken apart. A group whose component the
 * sheet does not name may belong to any part with bolts, and is
 * listed with each; work on the coolant alone lists those of component `coolant` (the drain plug),
 * when the coolant is drained.
 *
 * Source: common practice, no published source.
 *
 * @param units for wording
 * @returns the card's part, and the parts whose fasteners the sheet lacks
 * @example fastenersForJob([{ component: 'coolant', action: 'replace', item: null }], work, sheet.fasteners, COMMON_PRACTICE, 'si').fasteners // []
 */
export function fastenersForJob(
  lines: readonly WorkLine[],
  work: CardWork,
  groups: readonly SheetFastener[],
  practice: CommonPractice,
  units: UnitSystem,
): { fasteners: CardFastener[]; missing: Message[]; basis: Message[] } {
  const apart = new Set<string>(lines.filter(isTakenApart).map(({ component }) => component));
  const bolted = [
    ...new Set<string>(
      lines
        .filter(isTakenApart)
        .filter(hasBolts)
        .map(({ component }) => component),
    ),
  ];
  const isListed = ({ component = null }: SheetFastener): boolean => {
    if (component === null) return bolted.length > 0;
    return component === 'coolant' ? work.opens === 'all' : apart.has(component);
  };
  const basis: Message[] = [];
  const fasteners = groups.filter(isListed).flatMap((group): CardFastener[] => {
    const limits = torqueLimits(group, practice, MEASURES.torque[units]);
    if (limits === null) return [];
    const ownLimits = group.minNm != null && group.maxNm != null;
    if (!ownLimits && group.tolerancePercent == null)
      basis.push(message('basis-card-torque-tolerance', { percent: practice.torqueTolerancePercent }));
    return [
      {
        name: group.name,
        count: group.count,
        component: group.component ?? null,
        torque: limits.nominalNm === null ? null : measure('torque', limits.nominalNm),
        min: measure('torque', limits.minNm),
        max: measure('torque', limits.maxNm),
        tolerancePercent: ownLimits ? null : (group.tolerancePercent ?? practice.torqueTolerancePercent),
        angle: group.angle ?? null,
      },
    ];
  });
  const isKnown = (component: string): boolean =>
    fasteners.some((fastener) => fastener.component === null || fastener.component === component);
  const unknown = bolted.filter((component) => !SELDOM_BOLTED.has(component) && !isKnown(component));
  return { fasteners, missing: unknown.length === 0 ? [] : [lacking(unknown)], basis };
}

/** Adjusted by more than their fasteners: common practice. */
const ADJUSTED_THEMSELVES: ReadonlySet<string> = new Set(['drive-belt', 'tensioner'] satisfies Component[]);

/**
 * Whether adjusting a part means to tighten its fasteners: those of the card that its item names,
 * or that hold it.
 *
 * @example isTightened({ component: 'water-pump', action: 'adjust', item: null }, card.fasteners) // true where a group holds the pump
 */
export function isTightened({ component, item }: WorkLine, fasteners: readonly CardFastener[]): boolean {
  if (item !== null && fasteners.some(({ name }) => name === item)) return true;
  return !ADJUSTED_THEMSELVES.has(component) && fasteners.some((group) => group.component === component);
}

function lacking(components: readonly string[]): Message {
  return message('card-no-torque', {
    parts: components.map((component) => componentTerm(component as Component)),
  });
}
