import { DUTIES } from '../../domain/intervals/types.js';
import { messages } from '../../domain/message.js';

/** A plan's interval for the part, compared with the advice. */
const PLAN = {
  plan: 'text',
  named: ['yes', 'no'],
  item: 'text',
  duty: DUTIES,
} as const;

export const message = messages({
  // Why there is no advice.
  'advice-too-few-failures': { failures: 'number', least: 'number' },
  'advice-no-law-fits': {},
  'advice-no-wear-out': { shape: 'number', low: 'number', high: 'number' },
  'advice-no-costs': {},
  'advice-failure-costs-no-more': {},
  'advice-band-too-wide': { low: 'measure', high: 'measure', factor: 'number' },
  'advice-band-without-end': { low: 'measure' },
  'advice-beyond-the-lives': { best: 'measure', longest: 'measure' },
  // What to do.
  'advice-none': {},
  'advice-do-report-failures': {},
  'advice-do-look-for-common-cause': {},
  'advice-do-look-at-fitting': {},
  'advice-do-give-costs': {},
  'advice-do-check-failure-cost': {},
  'advice-do-ask-again': {},
  'advice-do-keep-to-plan': {},
  'advice-best': { part: 'message', best: 'measure', low: 'measure', high: 'measure' },
  'advice-saving': { percent: 'number' },
  'advice-plan-agrees': { ...PLAN, every: 'measure' },
  'advice-plan-too-late': { ...PLAN, every: 'measure', best: 'measure' },
  'advice-plan-sooner': { ...PLAN, every: 'measure', low: 'measure' },
  'advice-plan-without-limit': { ...PLAN, best: 'measure' },
  'advice-no-plan': {},
  // Lives that are left out.
  'lives-usage-unknown': {},
  'lives-no-use': {},
  'lives-before-records': {},
  'lives-watched-only-at-end': {},
  'lives-sheet-changed': {},
  'lives-item-unknown': {},
  // Cautions.
  'caution-lives-of-both-duties': {},
  'caution-lives-of-every-sheet': {},
  'caution-lives-of-several-items': { count: 'number', items: 'list' },
  'caution-lives-follow-no-law': { p: 'number' },
  'caution-lives-from-day-in-service': { count: 'number', total: 'number' },
  'caution-lives-failed-at-first-reading': { count: 'number', total: 'number' },
  'caution-lives-left-out': { count: 'number' },
  'caution-band-beyond-lives': {},
  'caution-maker-interval-shorter': {},
  // Methods and sources.
  'basis-lives': {},
  'basis-weibull': {},
  'basis-survival': {},
  'basis-goodness-of-fit': {},
  'basis-goodness-cells': {},
  'basis-age-replacement': {},
  'basis-optimum-band': {},
  'basis-advice-refused': { least: 'number', factor: 'number' },
  // Queries.
  'advice-too-many-vehicles': { most: 'number' },
  'advice-planned-cost-missing': {},
  'advice-failure-cost-missing': {},
});
