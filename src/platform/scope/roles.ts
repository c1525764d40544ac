/** What a token may do; `calendar` reads the calendar feed and nothing else. */
export const ROLES = ['manager', 'mechanic', 'dashboard', 'calendar'] as const;
export type Role = (typeof ROLES)[number];
