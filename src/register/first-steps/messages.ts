import { messages } from '../../domain/message.js';

export const message = messages({
  'first-step-depot': {},
  'first-step-vehicles': {},
  'first-step-sheets': {},
  'first-step-plans': {},
  'first-step-ready-made': {},
  'first-step-usage': {},
  'first-step-target': {},
  'first-step-target-test': {},
  'first-step-second-person': {},
});
