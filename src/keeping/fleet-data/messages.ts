import { messages } from '../../domain/message.js';

export const message = messages({
  'export-of-tables': {},
  'export-of-attachments': {},
  'command-confirm-name': { given: 'text', name: 'text' },
  'command-fleet-unknown': { given: 'text' },
  'command-fleet-unknown-among': { given: 'text', fleets: 'text' },
  'command-fleets-none': {},
  'command-files-out-of-reach': { fleet: 'text' },
  'command-through-pooler': {},
  'command-no-tables': {},
  'command-tables-closed': { tables: 'list' },
});
