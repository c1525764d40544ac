import { messages } from '../../domain/message.js';

export const message = messages({
  'card-lines-too-many': { count: 'number', most: 'number' },
  'card-line-component': { given: 'text', allowed: 'text' },
  'card-line-component-missing': { allowed: 'text' },
  'card-line-action': { given: 'text', allowed: 'text' },
  'card-line-action-missing': { component: 'text', allowed: 'text' },
  'card-line-circuit': { given: 'text', allowed: 'text' },
  'card-line-item-length': { length: 'number', longest: 'number' },
  'card-line-belt': { given: 'text', belts: 'list' },
  'card-form': {},
  'card-form-not-accepted': {},
});
