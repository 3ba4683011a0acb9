/** The label of a group by its key. */
export const labelIn = (groups: readonly { readonly key: string; readonly label: string }[]) => (key: string): string => groups.find((group) => group.key === key)?.label ?? key;

/** Its position, which gives it its colour. */
export const positionIn = (groups: readonly { readonly key: string }[]) => (key: string): number => groups.findIndex((group) => group.key === key);
