'use client';
import { useSearchParams } from 'next/navigation';
import { useEffect, useSyncExternalStore } from 'react';

let listeners: readonly (() => void)[] = [];
const lastAsked = new Map<string, string>(); // by the path of the page

function subscribe(listener: () => void): () => void {
  listeners = [...listeners, listener];
  window.addEventListener('popstate', listener);
  return () => {
    listeners = listeners.filter((other) => other !== listener);
    window.removeEventListener('popstate', listener);
  };
}

/** Moves to another query part of the address, at once: two quick edits must not both start from the same question. */
export function goTo(search: string, amends: boolean): void {
  const address = `?${search}`;
  if (amends) window.history.replaceState(null, '', address);
  else window.history.pushState(null, '', address);
  announce();
}

function announce(): void {
  for (const listener of listeners) listener();
}

function remembered(): string {
  const { pathname, search } = window.location;
  lastAsked.set(pathname, search);
  return search;
}

/** The query part of the address as it stands. */
export function useSearch(): string {
  const params = useSearchParams(); // tells of links within the site, which the browser does not
  useEffect(announce, [params]); // a link moves the address only after the page is drawn
  return useSyncExternalStore(subscribe, remembered, () => '');
}

/** The query part of what was asked last on a page. */
export const lastSearch = (path: string): string => lastAsked.get(path) ?? '';

/** What was asked last on each page, by its path, and the same taken over again where a page has not been asked yet. */
export const lastSearches = (): Readonly<Record<string, string>> => Object.fromEntries(lastAsked);
export function takeOverSearches(searches: Readonly<Record<string, string>>): void {
  for (const [path, search] of Object.entries(searches)) if (lastSearch(path) === '') lastAsked.set(path, search);
}
