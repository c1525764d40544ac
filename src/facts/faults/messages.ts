import { messages } from '../../domain/message.js';

export const message = messages({
  'fault-seen-ahead': { seenAt: 'text', now: 'text' },
  'fault-without-vehicle': {},
  'fault-vehicle-unknown': { vehicle: 'text' },
  'fault-already-voided': { reason: 'text' },
});
