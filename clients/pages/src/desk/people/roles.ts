import type { components } from '../../../../typescript/src/client.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

export type Role = components['schemas']['TokenView']['role'];
export type PersonRole = components['schemas']['PersonView']['role'];

/** What people may do, strongest first. */
export const PERSON_ROLES: readonly PersonRole[] = ['manager', 'mechanic', 'dashboard', 'driver'];

/** What a token of a program may do. */
export const TOKEN_ROLES: readonly Role[] = [...PERSON_ROLES, 'calendar', 'telematics'];

export const roleInWords = (role: Role): string => tell(message(`desk-role-${role}`));
export const aboutRole = (role: Role): string => tell(message(`desk-role-${role}-about`));
