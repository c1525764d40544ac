import { messages } from '../message.js';

export const message = messages({
  // Terms.
  'ethylene-glycol': {},
  'propylene-glycol': {},
  'mixing-water': {},
});
