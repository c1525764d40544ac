/**
 * What a token may do. `driver` may only report defects and see what became of them. `calendar` may
 * only read the calendar feed, and `telematics` may only post reports of machines.
 */
export const ROLES = ['manager', 'mechanic', 'driver', 'dashboard', 'calendar', 'telematics'] as const;
export type Role = (typeof ROLES)[number];

/** The roles of people, strongest first. The others are for programs. */
export const PERSON_ROLES = ['manager', 'mechanic', 'dashboard', 'driver'] as const satisfies readonly Role[];
export type PersonRole = (typeof PERSON_ROLES)[number];
