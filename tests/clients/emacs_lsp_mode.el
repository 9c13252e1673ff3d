;;; Drives a real Emacs with lsp-mode against the real server -*- lexical-binding: t; -*-
;; Run by emacs.sh; environment: TURNWRIGHT, SOURCE_DIR, WORK_DIR.

(require 'package)
(package-initialize)
(require 'lsp-mode)
(require 'lsp-diagnostics)
(require 'flymake)
(load (concat (getenv "SOURCE_DIR") "/editor-configs/emacs/turnwright.el"))
(setq turnwright-command (list (getenv "TURNWRIGHT") "serve")
      lsp-session-file (concat (getenv "WORK_DIR") "/home/session")
      lsp-enable-suggest-server-download nil
      lsp-enable-snippet nil ; as the page says where yasnippet is not installed
      ;; The folder of the test is named below. Guessed it would be all of the sources, and whether so many folders
      ;; shall be watched is a question to a person.
      lsp-auto-guess-root nil
      lsp-log-io nil
      lsp-diagnostics-provider :flymake
      lsp-keep-workspace-alive nil
      lsp-restart 'ignore
      make-backup-files nil)

(defvar failures 0)
(defun expect (condition what)
  (princ (format "%s  %s\n" (if condition "ok  " "FAIL") what))
  (unless condition (setq failures (1+ failures))))
(defun wait-for (what condition)
  (let ((end (+ (float-time) 10)) met)
    (while (and (not (setq met (funcall condition))) (< (float-time) end))
      (accept-process-output nil 0.02))
    (expect met what)
    met))
(defun warnings ()
  "Line from 1 and text of what the server published for this buffer."
  (mapcar (lambda (d) (cons (1+ (lsp:position-line (lsp:range-start (lsp:diagnostic-range d))))
                            (lsp:diagnostic-message d)))
          (append (lsp--get-buffer-diagnostics) nil)))
(defun warned-of (text) (seq-some (lambda (w) (string-match-p (regexp-quote text) (cdr w))) (warnings)))
(defun sent ()
  "What the idle timer does in a window: a batch Emacs is never idle."
  (lsp--flush-delayed-changes))

(defvar published 0)
(defun run ()
  (advice-add 'lsp--on-diagnostics :after (lambda (&rest _) (setq published (1+ published))))
  (lsp-workspace-folders-add (getenv "WORK_DIR"))
  (find-file (concat (getenv "WORK_DIR") "/pump-shaft.nc"))
  (expect (eq major-mode 'turning-mode) "a .nc file opens in turning-mode")
  (expect (equal (lsp-buffer-language) "turning") "its language id is turning")
  (let ((inhibit-message t)) (lsp))
  (wait-for "lsp-mode has a server"
            (lambda () (and (lsp-workspaces) (eq 'initialized (lsp--workspace-status (car (lsp-workspaces)))))))
  (wait-for "the server publishes for the opened program" (lambda () (> published 0)))
  (expect (null (warnings)) "the clean example has no warning")

  (goto-char (point-min))
  (search-forward "G50 S2500")
  (replace-match "")
  (sent)
  (wait-for "G96 with its speed limit removed is warned of" (lambda () (warned-of "G96 with no speed limit")))
  (expect (= (caar (warnings)) (save-excursion (goto-char (point-min)) (search-forward "G96 S180") (line-number-at-pos)))
          "on the line of G96")
  (insert "G50 S2500")
  (sent)
  (wait-for "the warning goes when the limit is back" (lambda () (null (warnings))))

  (goto-char (point-min))
  (search-forward "G96 S180")
  (goto-char (match-beginning 0))
  (let ((text (format "%s" (lsp:markup-content-value
                            (lsp:hover-contents (lsp-request "textDocument/hover" (lsp--text-document-position-params)))))))
    (expect (string-match-p "surface speed" (downcase text)) "hover on G96 says surface speed")
    (expect (string-match-p "rpm" text) "hover tells the speed in rpm"))

  (let ((index (format "%S" (lsp--imenu-create-index))))
    (dolist (name '("N1" "N2" "N3" "N5" "N7" "N9"))
      (expect (string-match-p (concat name "[^0-9]") index) (format "imenu has %s" name))))

  ;; A fix by the client's own hands.
  (goto-char (point-min))
  (search-forward "G00 X75. Z12.")
  (replace-match "G00 X75 Z12.")
  (search-backward "X75")
  (sent)
  (when (wait-for "a forgotten decimal point is warned of" (lambda () (warned-of "X75 has no decimal point")))
    (let ((fix (seq-find (lambda (action) (string-match-p "^Write X75" (lsp:code-action-title action)))
                         (append (lsp-code-actions-at-point) nil))))
      (expect fix "a quick fix is offered")
      (when fix
        (lsp-execute-code-action fix)
        (expect (string= (buffer-substring (line-beginning-position) (line-end-position)) "G00 X75. Z12.")
                "the fix writes G00 X75. Z12.")
        (sent)
        (wait-for "the fixed program has no warning" (lambda () (null (warnings)))))))

  ;; A whole sequence by its name, on the empty line in front of the last one.
  (goto-char (point-min))
  (search-forward "\nN9 (T09")
  (goto-char (match-beginning 0))
  (insert "groo")
  (sent)
  (let* ((at (lsp-completion-at-point)) (begin (nth 0 at)) (end (nth 1 at))
         (one (seq-find (lambda (name) (string= name "grooving"))
                        (all-completions (buffer-substring begin end) (nth 2 at)))))
    (expect one "a sequence is offered by its name")
    ;; As the popup does when somebody takes it.
    (delete-region begin end)
    (insert one)
    (funcall (plist-get (nthcdr 3 at) :exit-function) one 'finished))
  (wait-for "its lines are put in when it is taken"
            (lambda () (save-excursion (goto-char (point-min)) (re-search-forward "^N[0-9]+ (GROOVE)" nil t))))

  (find-file (concat (getenv "WORK_DIR") "/pump-shaft-faulty.nc"))
  (let ((inhibit-message t)) (lsp))
  (wait-for "the faulty example has at least 12 warnings" (lambda () (>= (length (warnings)) 12)))
  (princ (format "      %d warnings in the faulty example\n" (length (warnings))))
  (dolist (buffer (buffer-list))
    (with-current-buffer buffer (set-buffer-modified-p nil)))
  (let ((workspace (car (lsp-workspaces))))
    (lsp-workspace-shutdown workspace)
    (wait-for "the server stops when it is asked to"
              (lambda () (not (process-live-p (lsp--workspace-cmd-proc workspace)))))))

(condition-case problem
    (run)
  (error (expect nil (format "%S" problem))))
(princ (if (zerop failures) "emacs, lsp-mode: all met\n" (format "emacs, lsp-mode: %d not met\n" failures)))
(kill-emacs (if (zerop failures) 0 1))
