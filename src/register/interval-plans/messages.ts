import { messages } from '../../domain/message.js';

export const message = messages({
  'interval-listed-twice': { work: 'message', earlier: 'text' },
  'interval-circuit-of-other-part': { component: 'text' },
  'interval-limits-empty': {},
  'interval-severe-longer': { severe: 'measure', normal: 'measure' },
  'interval-severe-longer-months': { severe: 'number', normal: 'number' },
  'interval-margin-too-long': { margin: 'measure', interval: 'measure' },
  'interval-margin-too-long-days': { days: 'number', months: 'number' },
});
