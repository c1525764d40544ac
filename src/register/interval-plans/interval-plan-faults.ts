import { plain, unitInWords } from '../../domain/quantities/wording.js';
import { resolveRule } from '../../domain/intervals/resolve-rule.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { domainFaults } from '../../platform/problems/domain-faults.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import { pointersOf } from '../../platform/problems/range-problem.js';
import { ruleOf } from './interval-plan-columns.js';
import type {
  IntervalInput,
  IntervalLimits,
  IntervalMargin,
  IntervalPlanInput,
} from './interval-plan.dto.js';

/** What is wrong with a plan whose fields are right one by one. */
export function intervalPlanFaults({ intervals }: IntervalPlanInput): FieldFault[] {
  const seen = new Map<string, number>();
  return intervals.flatMap((interval, index) => {
    const pointer = `/intervals/${index}`;
    const { component, action, item } = interval;
    const key = JSON.stringify([component, action, item?.trim().toLowerCase() ?? null]);
    const earlier = seen.get(key);
    if (earlier === undefined) seen.set(key, index);
    const what = `${component}/${action}${item ? ` of "${item.trim()}"` : ''}`;
    const twice =
      earlier === undefined
        ? []
        : [{ pointer, detail: `says ${what} a second time; /intervals/${earlier} says it already` }];
    return [...twice, ...intervalFaults(interval, pointer)];
  });
}

const LIMIT_NAMES = 'everyDistance, everyMonths or everyEngineHours';
const NUMBERS = ['everyDistance', 'everyMonths', 'everyEngineHours'] as const;

function isEmpty(limits: IntervalLimits): boolean {
  return NUMBERS.every((name) => limits[name] == null);
}

function intervalFaults(interval: IntervalInput, pointer: string): FieldFault[] {
  const { first, severe, window, grace } = interval;
  const faults: FieldFault[] = [];
  const pointers = { ...pointersOf(interval, pointer), interval: pointer };
  faults.push(...domainFaults(pointers, pointer, () => resolveRule(ruleOf(interval), 'normal')));
  if (first && isEmpty(first))
    faults.push({ pointer: `${pointer}/first`, detail: `is empty: give ${LIMIT_NAMES}` });
  if (severe && isEmpty(severe) && !severe.first)
    faults.push({ pointer: `${pointer}/severe`, detail: `is empty: give ${LIMIT_NAMES}` });
  if (severe?.first && isEmpty(severe.first))
    faults.push({ pointer: `${pointer}/severe/first`, detail: `is empty: give ${LIMIT_NAMES}` });
  if (severe) faults.push(...severeFaults(interval, severe, `${pointer}/severe`));
  const limits = [interval, first, severe, severe?.first].filter((each) => each != null);
  if (window) faults.push(...marginFaults(window, limits, `${pointer}/window`));
  if (grace) faults.push(...marginFaults(grace, limits, `${pointer}/grace`));
  return faults;
}

const amountOf = (value: Quantity | number): number =>
  typeof value === 'number'
    ? value
    : (canonicalOf(value.unit === 'h' ? 'engine-hours' : 'distance', value) ?? 0);

const inWords = (value: Quantity | number): string =>
  typeof value === 'number' ? `${value} months` : `${plain(value.value)} ${unitInWords(value.unit)}`;

/** Hard use wears sooner: a longer severe interval means that the two were swapped. */
function severeFaults(normal: IntervalLimits, severe: IntervalLimits, pointer: string): FieldFault[] {
  return NUMBERS.flatMap((name) => {
    const [usual, hard] = [normal[name], severe[name]];
    if (usual == null || hard == null || amountOf(hard) <= amountOf(usual) * (1 + 1e-9)) return [];
    const detail = `is ${inWords(hard)}, longer than the ${inWords(usual)} under normal duty; were the two swapped?`;
    return [{ pointer: `${pointer}/${name}`, detail }];
  });
}

const SHORTEST_MONTH_DAYS = 28;

/** A window or grace as long as the interval leaves no time in which nothing is to be done. */
function marginFaults(margin: IntervalMargin, limits: IntervalLimits[], pointer: string): FieldFault[] {
  const faults: FieldFault[] = [];
  const months = limits.flatMap(({ everyMonths }) => everyMonths ?? []);
  const fewestMonths = Math.min(...months);
  if (margin.days != null && months.length > 0 && margin.days >= fewestMonths * SHORTEST_MONTH_DAYS) {
    const detail = `is ${margin.days} days, as long as the interval of ${inWords(fewestMonths)} itself`;
    faults.push({ pointer: `${pointer}/days`, detail });
  }
  for (const [name, limitName] of [
    ['distance', 'everyDistance'],
    ['engineHours', 'everyEngineHours'],
  ] as const) {
    const [own, every] = [margin[name], limits.flatMap((each) => each[limitName] ?? [])];
    const [least] = every.sort((a, b) => amountOf(a) - amountOf(b));
    if (!own || !least || amountOf(own) < amountOf(least)) continue;
    const detail = `is ${inWords(own)}, as long as the interval of ${inWords(least)} itself`;
    faults.push({ pointer: `${pointer}/${name}`, detail });
  }
  return faults;
}
