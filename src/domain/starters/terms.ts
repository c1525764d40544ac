import type { Message } from '../message.js';
import { message, type StarterSetCode } from './messages.js';

/** What a set is called. */
export const starterName = (set: StarterSetCode): Message => message(`starter-name-${set}`);

/** For which vehicles a set is meant. */
export const starterPurpose = (set: StarterSetCode): Message => message(`starter-purpose-${set}`);
