/** Letters to change, add, leave out or swap with the next to make one word of the other. */
function editCount(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let best = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        best = Math.min(best, beforeLast[j - 2]! + 1);
      row.push(best);
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length]!;
}

function plain(word: string): string {
  return word.toLowerCase().replace(/[\s_-]+/g, "");
}

/** The word nearest to the one written, or null if none is near enough to be what was meant. */
export function nearestWord(written: string, words: readonly string[]): string | null {
  const target = plain(written.slice(0, 40));
  let best: string | null = null;
  let bestCount = Infinity;
  for (const word of words) {
    const candidate = plain(word);
    // A whole word inside a longer one, such as lap in steamLap, is nearer than any slip but one.
    const isPart = target.length >= 3 && (candidate.startsWith(target) || candidate.endsWith(target));
    // A short word that is but for one letter the beginning of a longer one, such as lok for locomotive.
    const isStart =
      target.length >= 3 &&
      candidate.length > target.length &&
      candidate.startsWith(target.slice(0, 2)) &&
      editCount(target, candidate.slice(0, target.length)) <= 1;
    const count =
      isStart && !isPart
        ? Math.min(2, editCount(target, candidate))
        : isPart
          ? Math.min(1, editCount(target, candidate))
          : editCount(target, candidate);
    // One slip in three letters is still the same word; more is another.
    if (count < bestCount && count <= Math.ceil(Math.max(target.length, candidate.length) / 3)) {
      best = word;
      bestCount = count;
    }
  }
  return best;
}

/** `a, b or c` */
export function listed(words: readonly string[], last = "or"): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${last} ${words[words.length - 1]}`;
}
