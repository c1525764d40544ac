import { messages } from '../../../../src/domain/message.js';

export const message = messages({
  'desk-no-such-view': {},
  'desk-managers-only': {},
  'desk-signed-in-as': { role: 'text' },
  'desk-no-view': {},
  'desk-no-view-why': {},
  'desk-to-phone': {},
});
