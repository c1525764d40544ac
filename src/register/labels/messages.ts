import { messages } from '../../domain/message.js';

export const message = messages({
  'label-of-disposed': {},
  'label-sheet-title': {},
  'label-purpose': {},
  'label-call': {},
  'label-sheet-empty': {},
});
