'use client';
import { useEffect } from 'react';
import { outsideForm, plainText } from './copiedOutside';

/** What is copied, or dragged, from the page leaves it in the form that paper has. What a person typed is theirs. */
export function CopyGuard() {
  useEffect(() => {
    const guard = (event: ClipboardEvent | DragEvent) => {
      const selection = document.getSelection(), active = document.activeElement;
      const data = event instanceof ClipboardEvent ? event.clipboardData : event.dataTransfer;
      if (data === null || selection === null || selection.isCollapsed || active instanceof HTMLInputElement || active instanceof HTMLTextAreaElement) return;
      const holder = document.createElement('div');
      for (let i = 0; i < selection.rangeCount; ++i) holder.append(outsideForm(selection.getRangeAt(i).cloneContents()));
      data.clearData();
      data.setData('text/plain', plainText(holder).trimEnd());
      data.setData('text/html', holder.innerHTML);
      if (event instanceof ClipboardEvent) event.preventDefault();
    };
    document.addEventListener('copy', guard);
    document.addEventListener('dragstart', guard);
    return () => {
      document.removeEventListener('copy', guard);
      document.removeEventListener('dragstart', guard);
    };
  }, []);
  return null;
}
