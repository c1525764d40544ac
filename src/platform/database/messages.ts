import { messages } from '../../domain/message.js';

export const message = messages({
  'writes-of-fleet-waiting': { present: 'number', seconds: 'number' },
  'writes-of-vehicle-waiting': { present: 'number', seconds: 'number' },
  'write-waited-too-long': { waited: 'number', seconds: 'number' },
  'title-record-busy': {},
  'record-locked-too-long': { seconds: 'number' },
  'caller-gone': {},
  'service-restarting': {},
  'key-in-flight': {},
  'key-in-flight-here': {},
  'key-reused': {},
  'key-reused-here': {},
});
