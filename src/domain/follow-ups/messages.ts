import { messages } from '../message.js';

/** What failed, what settles it, and whether filling up is all that there is to do. */
const RELEASE = { findings: 'list', until: 'list', todo: ['fill', 'park'] } as const;

export const message = messages({
  // Why a line is open: what is wrong, then what to do.
  'follow-up-circuit-opened': {},
  'follow-up-pressure-test-failed': {},
  'follow-up-vacuum-test-failed': {},
  'follow-up-over-pressured': {},
  'follow-up-pressure-test-unclear': {},
  'follow-up-vacuum-test-unclear': {},
  'follow-up-strength-wrong': {},
  'follow-up-strength-unclear': {},
  'follow-up-water-poured': {},
  'follow-up-fill-weak': {},
  'follow-up-torque-wrong': {},
  'follow-up-belt-worn': {},
  'follow-up-belt-contaminated': {},
  'follow-up-belt-out-of-place': {},
  'follow-up-cap-failed': {},
  'follow-up-combustion-gas': {},
  'follow-up-leak-at-warm-up': {},
  'follow-up-thermostat-shut': {},
  'follow-up-fan-dead': {},
  'follow-up-warm-up-failed': {},
  'follow-up-leak-on-the-road': {},
  'follow-up-overheated': {},
  'follow-up-warning-lamp': {},
  'follow-up-thermostat-stuck-open': {},
  'follow-up-level-low': {},
  'follow-up-fill-short': {},
  'follow-up-oil': {},
  'follow-up-dirt': {},
  'follow-up-acid': {},
  'follow-up-laboratory-limit': {},
  'follow-up-worn-out': {},
  'follow-up-inhibitors-off': {},
  'follow-up-condition-failed': {},
  'follow-up-other-base': {},
  'follow-up-other-technology': {},
  'follow-up-vacuum-leak': {},

  // A vehicle that was released with failed safety readings.
  'release-warning': RELEASE,
  'release-findings-open': RELEASE,
  'release-what-to-do': { until: 'list', todo: ['fill', 'park'] },
  'basis-follow-up-limits': {},
});
