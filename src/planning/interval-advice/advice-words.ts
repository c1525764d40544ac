import { cautionsFor } from '../../domain/cautions/cautions.js';
import { STARTER_INTERVAL } from '../../domain/evaluation/starter-mark.js';
import { partTerm } from '../../domain/intervals/terms.js';
import type { Message } from '../../domain/message.js';
import { canonical, inSystem, MEASURES } from '../../domain/quantities/measures.js';
import { type Told, told } from '../../domain/quantities/told.js';
import {
  type IntervalAdvice,
  LEAST_FAILURES,
  type RefusalCode,
  WIDEST_BAND,
} from '../../domain/reliability/advise-interval.js';
import type { LeftOut, PartLives } from '../../domain/reliability/part-lives.js';
import type { AskedFor } from './asked-for.js';
import type { CurrentInterval } from './current-intervals.js';
import { againstBand } from './against-band.js';
import { message } from './messages.js';

/** Words a use (km or h) for a message. */
export type TellUse = (use: number) => Told;

/**
 * Words a use with three digits in the reader's unit. No fleet's data on part lives is more precise
 * than that.
 */
export function tellUseFor({ by, units }: Pick<AskedFor, 'by' | 'units'>): TellUse {
  const unit = MEASURES[by][units];
  return (use) => {
    const value = Number(inSystem(by, use, units).value.toPrecision(3));
    return told(by, canonical(by, { value, unit }), unit, 'exact');
  };
}

export const LEFT_OUT_WORDS: Record<LeftOut, Message> = {
  'usage-unknown': message('lives-usage-unknown'),
  'no-use': message('lives-no-use'),
  'before-records': message('lives-before-records'),
  'watched-only-at-its-end': message('lives-watched-only-at-end'),
  'sheet-changed': message('lives-sheet-changed'),
  'item-unknown': message('lives-item-unknown'),
};

/** Why there is no advice, with the figures. */
export function refusalDetail(code: RefusalCode, advice: IntervalAdvice, tell: TellUse): Message {
  const { failures, fit, optimum, longest } = advice;
  switch (code) {
    case 'too-few-failures':
      return message('advice-too-few-failures', { failures, least: LEAST_FAILURES });
    case 'no-law-fits':
      return message('advice-no-law-fits');
    case 'no-wear-out': {
      const { value: shape, low, high } = fit!.shape;
      return message('advice-no-wear-out', { shape, low, high });
    }
    case 'no-costs':
      return message('advice-no-costs');
    case 'failure-costs-no-more':
      return message('advice-failure-costs-no-more');
    case 'band-too-wide': {
      const { low, high } = optimum!.band;
      return Number.isFinite(high)
        ? message('advice-band-too-wide', { low: tell(low), high: tell(high), factor: WIDEST_BAND })
        : message('advice-band-without-end', { low: tell(low) });
    }
    case 'beyond-the-lives':
      return message('advice-beyond-the-lives', { best: tell(optimum!.age), longest: tell(longest) });
  }
}

const WHAT_TO_DO: Record<RefusalCode, Message> = {
  'too-few-failures': message('advice-do-report-failures'),
  'no-law-fits': message('advice-do-look-for-common-cause'),
  'no-wear-out': message('advice-do-look-at-fitting'),
  'no-costs': message('advice-do-give-costs'),
  'failure-costs-no-more': message('advice-do-check-failure-cost'),
  'band-too-wide': message('advice-do-ask-again'),
  'beyond-the-lives': message('advice-do-keep-to-plan'),
};

/** What to do. */
export function adviceWords(
  asked: AskedFor,
  advice: IntervalAdvice,
  plans: readonly CurrentInterval[],
  tell: TellUse,
): Message[] {
  const [refusal] = advice.refusals;
  if (refusal !== undefined)
    return [message('advice-none'), refusalDetail(refusal, advice, tell), WHAT_TO_DO[refusal]];
  const { age, band, costRate, costRateAtFailure } = advice.optimum!;
  const part = partTerm({ component: asked.component, item: asked.item });
  return [
    message('advice-best', { part, best: tell(age), low: tell(band.low), high: tell(band.high) }),
    message('advice-saving', { percent: Math.round(100 * (1 - costRate / costRateAtFailure)) }),
    ...plans.map((plan) => planWords(plan, advice, tell)),
    ...(plans.length === 0 ? [message('advice-no-plan')] : []),
  ];
}

function planWords(
  { name, duty, every, item }: CurrentInterval,
  { optimum }: IntervalAdvice,
  tell: TellUse,
): Message {
  const named = item === null ? 'no' : 'yes';
  const plan = { plan: name, named, item: item ?? '', duty } as const;
  const best = tell(optimum!.age);
  if (every === null) return message('advice-plan-without-limit', { ...plan, best });
  const now = { ...plan, every: tell(every) };
  switch (againstBand(every, optimum!.band)) {
    case 'within':
      return message('advice-plan-agrees', now);
    case 'later':
      return message('advice-plan-too-late', { ...now, best });
    case 'sooner':
      return message('advice-plan-sooner', { ...now, low: tell(optimum!.band.low) });
  }
}

/** What to be careful about in this data, and the general cautions about planning. */
export function adviceCautions(
  asked: AskedFor,
  { lives, leftOut }: PartLives,
  advice: IntervalAdvice,
): Message[] {
  const total = lives.length;
  const count = (test: (life: PartLives['lives'][number]) => boolean): number => lives.filter(test).length;
  const fromService = asked.recordsFrom === null ? count((life) => life.isFirst && life.entry === 0) : 0;
  const failedAtOnce = count(({ isEntryUnknown }) => isEntryUnknown);
  const items = [...new Set(lives.map(({ item }) => item))];
  const duties = new Set(lives.map(({ duty }) => duty));
  const p = advice.goodnessOfFit?.p ?? 1;
  const { optimum, refusals, longest } = advice;
  const found: [boolean, Message][] = [
    [duties.size > 1 || duties.has('mixed'), message('caution-lives-of-both-duties')],
    [asked.specSheetId === null, message('caution-lives-of-every-sheet')],
    [
      items.length > 1,
      message('caution-lives-of-several-items', {
        count: items.length,
        items: items.map((item) => item ?? partTerm({ component: asked.component, item })),
      }),
    ],
    [p < 0.05, message('caution-lives-follow-no-law', { p })],
    [fromService > 0, message('caution-lives-from-day-in-service', { count: fromService, total })],
    [failedAtOnce > 0, message('caution-lives-failed-at-first-reading', { count: failedAtOnce, total })],
    [leftOut.length > 0, message('caution-lives-left-out', { count: leftOut.length })],
    [
      optimum !== null && optimum.band.high > longest && refusals.length === 0,
      message('caution-band-beyond-lives'),
    ],
    [true, message('caution-maker-interval-shorter')],
  ];
  return [...found.flatMap(([applies, caution]) => (applies ? [caution] : [])), ...cautionsFor('planning')];
}

/** The methods behind the answer, after a mark where it compares with a ready-made interval. */
export function adviceBasis(
  { goodnessOfFit, costCurve, optimum }: IntervalAdvice,
  plans: readonly CurrentInterval[],
): Message[] {
  return [
    ...(plans.some(({ isStarter }) => isStarter) ? [STARTER_INTERVAL] : []),
    message('basis-lives'),
    message('basis-weibull'),
    message('basis-survival'),
    ...(goodnessOfFit === null ? [] : [message('basis-goodness-of-fit')]),
    ...(costCurve.length === 0 ? [] : [message('basis-age-replacement')]),
    ...(optimum === null ? [] : [message('basis-optimum-band')]),
    message('basis-advice-refused', { least: LEAST_FAILURES, factor: WIDEST_BAND }),
  ];
}
