import { messages } from '../../domain/message.js';

export const message = messages({
  'temperature-batch-not-an-object': {},
  'temperature-batch-not-a-list': {},
  'temperature-batch-size': { count: 'number', most: 'number' },
  'temperature-item-not-an-object': {},
  'temperature-item-without-vehicle': {},
  'temperature-item-vehicle-id': {},
  'temperature-item-unit-number': {},
  'temperature-item-vehicle-unknown': { vehicle: 'text' },
  'temperature-ahead': { readAt: 'text', now: 'text' },
  'temperature-day-closed': { day: 'text', first: 'text', days: 'number' },
  'temperature-day-already-voided': { reason: 'text' },
});
