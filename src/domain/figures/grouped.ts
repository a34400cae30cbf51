/** The items by a key of theirs; keys and items in the order in which they come. */
export function grouped<Item, Key>(
  items: readonly Item[],
  keyOf: (item: Item) => Key,
): ReadonlyMap<Key, readonly Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const held = groups.get(key);
    if (held === undefined) groups.set(key, [item]);
    else held.push(item);
  }
  return groups;
}
