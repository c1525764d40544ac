import { messages } from '../message.js';

export const message = messages({
  'driving-undecided': {},
  'driving-stays': {},
  'driving-not-held': {},
  'trouble-hot-or-steam': {},
  'trouble-coolant-on-ground': {},
  'trouble-warning-lamp': {},
  'trouble-heater-cold': {},
  'trouble-belt-noise': {},
  'trouble-coolant-added': {},
  'trouble-coolant-added-about': { amount: 'measure' },
  'trouble-something-else': {},
  'report-reported': {},
  'report-triaged': {},
  'report-dismissed': {},
  'report-repaired': {},
});
