import { messages } from '../message.js';

export const message = messages({
  // A failed safety reading, as a term.
  'finding-failed-pressure-test': {},
  'finding-failed-vacuum-test': {},
  'finding-failed-torque-check': {},
  'finding-failed-belt-check': {},
  'finding-failed-level-check': {},
  'finding-combustion-gas': {},
  'finding-failed-road-test': {},
  'finding-failed-warm-up-check': {},
  'finding-failed-torque-check-of': { name: 'text' },
  'finding-failed-belt-check-of': { name: 'text' },
  'finding-failed-reading': { kind: 'text' },

  // What settles it, as what stands after "until".
  'settled-by-pressure-test': {},
  'settled-by-vacuum-test': {},
  'settled-by-torque-check': {},
  'settled-by-belt-check': {},
  'settled-by-level-check': {},
  'settled-by-combustion-gas': {},
  'settled-by-road-test': {},
  'settled-by-warm-up-check': {},
  'settled-when-put-right': {},

  'torque-set-not-on-sheet': { fastener: 'text', names: 'list' },
  'reading-does-not-exist': { index: 'number', count: 'number' },
});
