import { messages } from '../../domain/message.js';

export const message = messages({
  'usage-item-not-an-object': {},
  'usage-item-without-vehicle': {},
  'usage-item-vehicle-id': {},
  'usage-item-unit-number': {},
  'usage-item-vehicle-unknown': { vehicle: 'text' },
  'usage-item-without-counter': {},
  'usage-item-flag': {},
  'usage-item-source': { sources: 'list' },
  'usage-batch-not-an-object': {},
  'usage-batch-not-a-list': {},
  'usage-batch-size': { count: 'number', most: 'number' },
  'usage-kept-not-believed': { why: 'message' },
  'usage-replaced-ahead': {},
  'usage-already-settled': {
    status: ['held', 'accepted', 'discarded', 'voided', 'duplicate'],
    needed: ['held', 'accepted'],
  },
});
