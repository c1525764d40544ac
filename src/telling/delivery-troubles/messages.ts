import { messages } from '../../domain/message.js';

const AT = { at: 'moment' } as const;

export const message = messages({
  'trouble-no-target': {},
  'trouble-no-live-target': AT,
  'trouble-nobody-hears-due': {},
  'trouble-nobody-hears-due-since': AT,
  'trouble-target-disabled': { place: 'text', ...AT },
  'trouble-target-failing': {
    ...{ place: 'text', ...AT, reason: 'message' },
    check: ['address', 'receiver'],
  },
  'trouble-no-worker': {},
  'trouble-no-worker-since': AT,
  'trouble-no-worker-then': { from: 'moment', to: 'moment' },
  'trouble-sweep-behind': AT,
  'trouble-reminders-behind': AT,

  // How attempts to send ended, and why nothing is sent.
  'target-no-answer': {},
  'target-receiver-answered': { status: 'text' },
  'target-mail-server-answered': { status: 'text' },
  'target-address-refused': {},
  'target-gone': {},
  'target-switched-off': {},
});
