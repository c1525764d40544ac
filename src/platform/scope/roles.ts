/**
 * What a token may do. `calendar` may only read the calendar feed, and `telematics` may only post
 * reports of machines.
 */
export const ROLES = ['manager', 'mechanic', 'dashboard', 'calendar', 'telematics'] as const;
export type Role = (typeof ROLES)[number];
