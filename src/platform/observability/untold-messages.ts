import { Logger } from '@nestjs/common';
import { listenForUntold } from '../words/render.js';

/**
 * Logs each code that cannot be told to people, once a process: they read the code in its place.
 */
export function logUntoldMessages(): void {
  const logger = new Logger('words');
  const logged = new Set<string>();
  listenForUntold((code, why) => {
    if (logged.has(code)) return;
    logged.add(code);
    logger.warn(`the message "${code}" cannot be told: ${why instanceof Error ? why.message : String(why)}`);
  });
}
