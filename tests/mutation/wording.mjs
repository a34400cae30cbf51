/** A text of several words is for people: how it is worded is no behaviour, and no test should hold it. */
const wording = {
  shouldIgnore: ({ node }) =>
    node.type === 'StringLiteral' && /\S\s+\S/.test(node.value) ? 'Wording, not behaviour.' : undefined,
};

export const strykerPlugins = [{ kind: 'Ignore', name: 'wording', value: wording }];
