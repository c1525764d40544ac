import type { Words } from '../../domain/message.js';
import { cautionsFor } from '../../domain/cautions/cautions.js';
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

/** Says a use (km or h) in the reader's unit. */
export type SayUse = (use: number) => string;

const significant = (value: number, digits = 3): string =>
  Number(value.toPrecision(digits)).toLocaleString('en-US', { maximumSignificantDigits: digits });

/** A use in three digits: more would pretend to a precision that no fleet's lives have. */
export function sayUseIn(unit: string, inUnit: (use: number) => number): SayUse {
  return (use) => `${significant(inUnit(use))} ${unit}`;
}

export const LEFT_OUT_WORDS: Record<LeftOut, string> = {
  'usage-unknown':
    'the usage at one end is not known: give inServiceOdometer or inServiceEngineHours, and readings around the job',
  'no-use':
    'nothing was run between the two ends; for a part that runs, there is no reading since it was fitted',
  'before-records': 'the part came out before records began: why, and whether others did, is not on record',
  'watched-only-at-its-end': 'the part was fitted before records began, and nothing was read since they did',
  'sheet-changed': 'the vehicle had another spec sheet during the life',
  'item-unknown': 'the job does not say which one of several was replaced',
};

/** Why nothing is advised, with the figures. */
export function refusalDetail(code: RefusalCode, advice: IntervalAdvice, say: SayUse): string {
  const { failures, fit, optimum, longest } = advice;
  switch (code) {
    case 'too-few-failures':
      return `There ${failures === 1 ? 'is 1 failure' : `are ${failures} failures`} on record; below ${LEAST_FAILURES} an estimate says more about chance than about the parts.`;
    case 'no-law-fits':
      return 'The failures are all alike, or too far apart: no Weibull law is the best for them.';
    case 'no-wear-out':
      return `The shape is ${significant(fit!.shape.value)}, with 95 % limits of ${significant(fit!.shape.low)} and ${significant(fit!.shape.high)}; the lower one is not above 1, so nothing shows yet that these parts wear out with use. A new part would then fail as readily as an old one.`;
    case 'no-costs':
      return 'Neither plannedCost nor failureCost is given: without them there is no least cost.';
    case 'failure-costs-no-more':
      return 'A failure costs no more than a planned replacement, so replacing early saves nothing.';
    case 'band-too-wide':
      return Number.isFinite(optimum!.band.high)
        ? `The 95 % band of the optimum is from ${say(optimum!.band.low)} to ${say(optimum!.band.high)}, wider than a factor of ${WIDEST_BAND}: these lives do not name an interval.`
        : `The 95 % band of the optimum begins at ${say(optimum!.band.low)} and has no end: these lives do not exclude that replacing early never pays.`;
    case 'beyond-the-lives':
      return `The optimum would be ${say(optimum!.age)}, and no part has been watched beyond ${say(longest)}.`;
  }
}

const WHAT_TO_DO: Record<RefusalCode, string> = {
  'too-few-failures':
    'Keep to the plan, and mark replaced parts that had failed with failed in job reports, until there are enough.',
  'no-law-fits': 'Keep to the plan, and look at what these failures have in common: a lot, a job, a place.',
  'no-wear-out':
    'Keep to the plan; look rather at how parts are fitted, at lots and at what else is wrong where they fail, than at the interval.',
  'no-costs': 'Give plannedCost and failureCost, tow and downtime included.',
  'failure-costs-no-more':
    'Keep to the plan: check that failureCost has tow, downtime and what a failed part takes with it.',
  'band-too-wide': 'Keep to the plan, and ask again when there are more failures.',
  'beyond-the-lives': 'Keep to the plan: replacing earlier than it says does not pay by these lives.',
};

/** What to do, in plain words. */
export function adviceWords(
  asked: AskedFor,
  advice: IntervalAdvice,
  plans: readonly CurrentInterval[],
  say: SayUse,
): string {
  const [refusal] = advice.refusals;
  if (refusal !== undefined)
    return `No interval is advised. ${refusalDetail(refusal, advice, say)} ${WHAT_TO_DO[refusal]}`;
  const { age, band, costRate, costRateAtFailure } = advice.optimum!;
  const saving = Math.round(100 * (1 - costRate / costRateAtFailure));
  const what = `${asked.component}${asked.item === null ? '' : ` (${asked.item})`}`;
  const sentences = [
    `Replacing the ${what} every ${say(age)} costs least by the fleet's own failures; anything from ${say(band.low)} to ${say(band.high)} agrees with them. It costs ${saving} % less than replacing failed parts only.`,
    ...plans.map((plan) => planWords(plan, advice, say)),
  ];
  if (plans.length === 0)
    sentences.push('No plan of these vehicles replaces it yet: add an interval to the plan.');
  return sentences.join(' ');
}

function planWords(
  { name, duty, every, item }: CurrentInterval,
  advice: IntervalAdvice,
  say: SayUse,
): string {
  const plan = `The plan "${name}"${item === null ? '' : ` (${item})`}, under ${duty} duty,`;
  if (every === null)
    return `${plan} has no limit by this counter: ${say(advice.optimum!.age)} would be one.`;
  const now = `${plan} says ${say(every)}`;
  switch (againstBand(every, advice.optimum!.band)) {
    case 'within':
      return `${now}: that agrees, leave it.`;
    case 'later':
      return `${now}: that is too late, shorten it to ${say(advice.optimum!.age)}.`;
    case 'sooner':
      return `${now}: that is sooner than need be by these lives; it may be lengthened towards ${say(advice.optimum!.band.low)}, never beyond what the vehicle maker says.`;
  }
}

/** What to beware of in these lives, and the cautions of planning. */
export function adviceCautions(
  asked: AskedFor,
  { lives, leftOut }: PartLives,
  advice: IntervalAdvice,
): Words[] {
  const counted = (what: string, test: (life: PartLives['lives'][number]) => boolean): string[] => {
    const number = lives.filter(test).length;
    return number === 0 ? [] : [`${number} of ${lives.length} lives ${what}`];
  };
  const items = new Set(lives.map(({ item }) => item));
  const duties = new Set(lives.map(({ duty }) => duty));
  const fits = advice.goodnessOfFit;
  return [
    ...(duties.size > 1 || duties.has('mixed')
      ? ['The lives mix normal and severe duty: parts may wear differently. Ask for one by duty=.']
      : []),
    ...(asked.specSheetId === null
      ? ['The lives are those of every vehicle, whatever its spec sheet: ask for one by specSheetId=.']
      : []),
    ...(items.size > 1
      ? [`The lives are of ${items.size} items together (${[...items].join(', ')}): ask for one by item=.`]
      : []),
    ...(fits !== null && fits.p < 0.05
      ? [
          `The lives do not follow a Weibull law (p = ${significant(fits.p, 2)}): more than one cause of failure may be mixed. Look at the survival curve before relying on the interval.`,
        ]
      : []),
    ...(asked.recordsFrom === null
      ? counted(
          'begin with the day in service: a part that was replaced before records began, and not imported, makes them too long. Say from when records are complete by recordsFrom=.',
          ({ isFirst, entry }) => isFirst && entry === 0,
        )
      : []),
    ...counted(
      'were fitted before records began and failed at the first reading: they count as if watched from new.',
      ({ isEntryUnknown }) => isEntryUnknown,
    ),
    ...(leftOut.length > 0 ? [`${leftOut.length} further lives are left out; see leftOut.`] : []),
    ...(advice.optimum !== null && advice.optimum.band.high > advice.longest && advice.refusals.length === 0
      ? ['The band reaches beyond the longest life on record.']
      : []),
    "Where the vehicle maker's interval is shorter, keep to it: a failure can harm more than it costs.",
    ...cautionsFor('planning'),
  ];
}

/** By what the answer was found. */
export function adviceBasis(advice: IntervalAdvice): string[] {
  return [
    'Lives: from a replacement (or the day in service) to the next, by believed usage; a replacement marked failed is a failure, a planned one or a part still running is censored, and a part fitted before records began counts from the first reading after that (delayed entry). A vehicle with no replacement on record counts as running on its first part',
    'Weibull law by maximum likelihood; 95 % limits: normal approximation for the logarithms, variance from the observed Fisher information (Meeker & Escobar 1998, chapter 8)',
    "Survival steps: Kaplan & Meier (1958); 95 % limits by Greenwood's variance on the log-log scale",
    ...(advice.goodnessOfFit === null
      ? []
      : [
          'Goodness of fit: χ² for censored lives with estimated parameters (Hjort 1990, Ann. Statist. 18, 1221)',
        ]),
    ...(advice.costCurve.length === 0
      ? []
      : ['Cost and optimum: age replacement (Barlow & Proschan 1965, section 4.2)']),
    ...(advice.optimum === null
      ? []
      : ['Band of the optimum: 95 % by profile likelihood (Meeker & Escobar 1998, section 8.3)']),
    `Refused below ${LEAST_FAILURES} failures, where the lower limit of the shape is not above 1, where a failure costs no more, where the band is wider than a factor of ${WIDEST_BAND} (common practice), or where the optimum is beyond the longest life (common practice)`,
  ];
}
