import { messages } from '../../../../src/domain/message.js';

export const message = messages({
  'desk-no-such-view': {},
});
