import { messages } from '../message.js';

const YES_NO = ['yes', 'no'] as const;

/**
 * Which fasteners of a set are told of: by position, or all of them; and what they were tightened
 * to.
 */
const THESE = {
  which: ['one', 'some', 'all'],
  positions: 'list',
  count: 'number',
  torques: ['alike', 'range'],
  lowest: 'measure',
  highest: 'measure',
} as const;
/** What they are tightened to again, where the sheet has a torque and not only limits. */
const AIM = { isAimKnown: YES_NO, aim: 'measure' } as const;
const ABOVE = { ...THESE, ...AIM, most: 'measure', isTurnedByAngle: YES_NO } as const;
const BELOW = { ...THESE, ...AIM, least: 'measure' } as const;

export const message = messages({
  'torque-set-within': { count: 'number', least: 'measure', most: 'measure' },
  'torque-set-not-judged': { fastener: 'text' },
  'torque-set-missing': { missing: 'number', expected: 'number' },
  'torque-set-then-angle': { angle: 'text' },
  'torque-set-over-tightened': ABOVE,
  'torque-set-under-tightened': BELOW,
  'torque-set-maybe-over-tightened': { ...ABOVE, percent: 'number' },
  'torque-set-maybe-under-tightened': { ...BELOW, percent: 'number' },
  'torque-set-unit-slip': {
    times: 'text',
    direction: ['above', 'below'],
    taken: 'text',
    meant: 'text',
  },
  'torque-set-too-many': { torques: 'number', isNamed: YES_NO, fastener: 'text', expected: 'number' },
  'torque-set-empty': {},
  'torque-set-count-not-whole': { count: 'text' },
  'torque-min-above-max': { min: 'measure', max: 'measure' },
  'torque-tolerance-outside': { percent: 'text' },
  'basis-torque-setting': {},
  'basis-torque-measured': { percent: 'number', source: ['standard', 'given'] },
  'basis-torque-limits-of-sheet': {},
  'basis-torque-tolerance': { torque: 'measure', percent: 'number', source: ['usual', 'sheet'] },
});
