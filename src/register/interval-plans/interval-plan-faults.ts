import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import { workTerm } from '../../domain/intervals/terms.js';
import type { MeasureKind } from '../../domain/quantities/measures.js';
import { type Told, told } from '../../domain/quantities/told.js';
import { resolveRule } from '../../domain/intervals/resolve-rule.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { domainFaults } from '../../platform/problems/domain-faults.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import { pointersOf } from '../../platform/problems/range-problem.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import { ruleOf } from './interval-plan-columns.js';
import type {
  IntervalInput,
  IntervalLimits,
  IntervalMargin,
  IntervalPlanInput,
} from './interval-plan.dto.js';

/** What is wrong with a plan whose fields are valid one by one. */
export function intervalPlanFaults({ intervals }: IntervalPlanInput): FieldFault[] {
  const seen = new Map<string, number>();
  return intervals.flatMap((interval, index) => {
    const pointer = `/intervals/${index}`;
    const { component, action, item, circuit } = interval;
    const key = JSON.stringify([component, action, item?.trim().toLowerCase() ?? null, circuit ?? null]);
    const earlier = seen.get(key);
    if (earlier === undefined) seen.set(key, index);
    if (earlier === undefined) return intervalFaults(interval, pointer);
    const work = workTerm({ component, action, item: item?.trim() || null, circuit });
    const detail = message('interval-listed-twice', { work, earlier: `/intervals/${earlier}` });
    return [{ pointer, detail }, ...intervalFaults(interval, pointer)];
  });
}

const NUMBERS = ['everyDistance', 'everyMonths', 'everyEngineHours'] as const;

function isEmpty(limits: IntervalLimits): boolean {
  return NUMBERS.every((name) => limits[name] == null);
}

function intervalFaults(interval: IntervalInput, pointer: string): FieldFault[] {
  const { first, severe, window, grace } = interval;
  const faults: FieldFault[] = [];
  const pointers = { ...pointersOf(interval, pointer), interval: pointer };
  const { component, circuit } = interval;
  if (circuit != null && !isInCircuit(component)) {
    const detail = message('interval-circuit-of-other-part', { component });
    faults.push({ pointer: `${pointer}/circuit`, detail });
  }
  faults.push(...domainFaults(pointers, pointer, () => resolveRule(ruleOf(interval), 'normal')));
  const detail = message('interval-limits-empty');
  if (first && isEmpty(first)) faults.push({ pointer: `${pointer}/first`, detail });
  if (severe && isEmpty(severe) && !severe.first) faults.push({ pointer: `${pointer}/severe`, detail });
  if (severe?.first && isEmpty(severe.first)) faults.push({ pointer: `${pointer}/severe/first`, detail });
  if (severe) faults.push(...severeFaults(interval, severe, `${pointer}/severe`));
  const limits = [interval, first, severe, severe?.first].filter((each) => each != null);
  if (window) faults.push(...marginFaults(window, limits, `${pointer}/window`));
  if (grace) faults.push(...marginFaults(grace, limits, `${pointer}/grace`));
  return faults;
}

const kindOf = ({ unit }: Quantity): MeasureKind => (unit === 'h' ? 'engine-hours' : 'distance');

const amountOf = (value: Quantity | number): number =>
  typeof value === 'number' ? value : (canonicalOf(kindOf(value), value) ?? 0);

/** A quantity as it was typed. */
const asGiven = (value: Quantity): Told => told(kindOf(value), amountOf(value), value.unit, 'exact');

/** Severe use wears parts sooner. A longer severe interval means that the two were swapped. */
function severeFaults(normal: IntervalLimits, severe: IntervalLimits, pointer: string): FieldFault[] {
  return NUMBERS.flatMap((name) => {
    const [usual, hard] = [normal[name], severe[name]];
    if (usual == null || hard == null || amountOf(hard) <= amountOf(usual) * (1 + 1e-9)) return [];
    return [{ pointer: `${pointer}/${name}`, detail: longerFault(usual, hard) }];
  });
}

function longerFault(usual: Quantity | number, hard: Quantity | number): Message {
  return typeof usual === 'number' || typeof hard === 'number'
    ? message('interval-severe-longer-months', { severe: amountOf(hard), normal: amountOf(usual) })
    : message('interval-severe-longer', { severe: asGiven(hard), normal: asGiven(usual) });
}

const SHORTEST_MONTH_DAYS = 28;

/**
 * A window or grace must be shorter than the interval. Otherwise there is always something to be
 * done.
 */
function marginFaults(margin: IntervalMargin, limits: IntervalLimits[], pointer: string): FieldFault[] {
  const faults: FieldFault[] = [];
  const months = limits.flatMap(({ everyMonths }) => everyMonths ?? []);
  const fewestMonths = Math.min(...months);
  if (margin.days != null && months.length > 0 && margin.days >= fewestMonths * SHORTEST_MONTH_DAYS) {
    const detail = message('interval-margin-too-long-days', { days: margin.days, months: fewestMonths });
    faults.push({ pointer: `${pointer}/days`, detail });
  }
  for (const [name, limitName] of [
    ['distance', 'everyDistance'],
    ['engineHours', 'everyEngineHours'],
  ] as const) {
    const [own, every] = [margin[name], limits.flatMap((each) => each[limitName] ?? [])];
    const [least] = every.sort((a, b) => amountOf(a) - amountOf(b));
    if (!own || !least || amountOf(own) < amountOf(least)) continue;
    const detail = message('interval-margin-too-long', { margin: asGiven(own), interval: asGiven(least) });
    faults.push({ pointer: `${pointer}/${name}`, detail });
  }
  return faults;
}
