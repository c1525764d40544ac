import { messages } from '../../../../src/domain/message.js';

export const message = messages({
  'desk-due': {},
  'desk-due-none': {},
  'desk-column-unit': {},
  'desk-column-work': {},
  'desk-column-state': {},
  'desk-column-due-on': {},
  'desk-column-why': {},
  'desk-no-such-view': {},
});
