import { messages } from '../message.js';

export const message = messages({
  'driving-undecided': {},
  'driving-stays': {},
  'driving-not-held': {},
});
