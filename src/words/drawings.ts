/** The words that stand in the drawings of the shoes. */
export const drawingWords = {
  letter: { left: 'L', right: 'R' },
  seen: { bottom: 'seen from below', inside: 'seen from the inside', outside: 'seen from the outside' },
  picture: {
    bottom: 'Left and right shoe seen from below',
    inside: 'Left and right shoe seen from the inside',
    outside: 'Left and right shoe seen from the outside',
  },
  inside: 'inside',
  outside: 'outside',
  wholeShoe: 'no place on this drawing',
} as const;
