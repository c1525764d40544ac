import { messages } from '../../domain/message.js';

export const message = messages({
  'alert-shelved-into-past': { until: 'text' },
  'alert-shelved-too-long': { until: 'text', days: 'number' },
  'alert-no-longer-standing': {},
  'alert-cleared-already': { at: 'text' },
  'alert-acknowledged-already': {},
});
