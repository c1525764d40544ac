import { CreateSchema1795600000000 } from './1795600000000-create-schema.js';

/** In the order in which they are applied. */
export const migrations = [CreateSchema1795600000000];
