import { messages } from '../../domain/message.js';

const PART = ['database', 'queue'] as const;

export const message = messages({
  'not-ready': { parts: 'list' },
  'part-late': { part: PART, seconds: 'number' },
  'part-unreachable': { part: PART },
  'migrations-missing': { missing: 'number', known: 'number', first: 'text' },
});
