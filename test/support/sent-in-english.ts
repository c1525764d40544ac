import type { SendResult } from '../../src/telling/reminders/senders/send-result.js';
import { english } from './english.js';

/** A sender whose errors are in English. */
export function inEnglish<M>(sender: { send(message: M): Promise<SendResult> }) {
  return {
    async send(message: M) {
      const { error, ...rest } = await sender.send(message);
      return { ...rest, error: error && english(error) };
    },
  };
}
