;;; Drives a real Emacs with eglot against the real server -*- lexical-binding: t; -*-
;; Run by emacs.sh; environment: TURNWRIGHT, SOURCE_DIR, WORK_DIR.

(require 'package)
(package-initialize)
(require 'eglot)
(require 'flymake)
(require 'imenu)
(load (concat (getenv "SOURCE_DIR") "/editor-configs/emacs/turnwright.el"))
(setq turnwright-command (list (getenv "TURNWRIGHT") "serve")
      eglot-sync-connect 10
      eglot-send-changes-idle-time 0.05
      flymake-no-changes-timeout 0.05
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
  (mapcar (lambda (d) (cons (line-number-at-pos (flymake-diagnostic-beg d)) (flymake-diagnostic-text d)))
          (flymake-diagnostics)))

(defun edited ()
  "What the idle timer does in a window: a batch Emacs is never idle."
  (eglot--signal-textDocument/didChange)
  (flymake-start))

(defun run ()
  (find-file (concat (getenv "WORK_DIR") "/pump-shaft.nc"))
  (expect (eq major-mode 'turning-mode) "a .nc file opens in turning-mode")
  (let ((inhibit-message t))
    (apply #'eglot (append (eglot--guess-contact) nil)))
  (expect (eglot-current-server) "eglot has a server")
  (flymake-mode 1)
  (accept-process-output nil 0.5)
  (expect (null (warnings)) "the clean example has no warning")

  (goto-char (point-min))
  (search-forward "G50 S2500")
  (replace-match "")
  (edited)
  (wait-for "G96 with its speed limit removed is warned of"
            (lambda () (flymake-start) (seq-some (lambda (w) (string-match-p "G96" (cdr w))) (warnings))))
  (insert "G50 S2500")
  (edited)
  (wait-for "the warning goes when the limit is back" (lambda () (flymake-start) (null (warnings))))

  (goto-char (point-min))
  (search-forward "G96 S180")
  (goto-char (match-beginning 0))
  (let* ((hover (jsonrpc-request (eglot--current-server-or-lose) :textDocument/hover (eglot--TextDocumentPositionParams)))
         (text (format "%s" (plist-get hover :contents))))
    (expect (string-match-p "surface speed" (downcase text)) "hover on G96 says surface speed")
    (expect (string-match-p "rpm" text) "hover tells the speed in rpm"))

  (let ((index (format "%S" (eglot-imenu))))
    (dolist (name '("N1" "N2" "N3" "N5" "N7" "N9"))
      (expect (string-match-p (concat name "[^0-9]") index) (format "imenu has %s" name))))

  ;; A whole sequence by its name, on the empty line in front of the last one.
  (goto-char (point-min))
  (search-forward "\nN9 (T09")
  (goto-char (match-beginning 0))
  (insert "groo")
  (edited)
  (completion-at-point)
  (wait-for "a sequence is found by its name and put in when it is taken"
            (lambda () (save-excursion (goto-char (point-min)) (re-search-forward "^N[0-9]+ (GROOVE)" nil t))))
  (set-buffer-modified-p nil)

  (find-file (concat (getenv "WORK_DIR") "/pump-shaft-faulty.nc"))
  (eglot--maybe-activate-editing-mode)
  (wait-for "the faulty example has at least 12 warnings"
            (lambda () (flymake-start) (>= (length (warnings)) 12)))
  (princ (format "      %d warnings in the faulty example\n" (length (warnings))))
  (set-buffer-modified-p nil)
  (eglot-shutdown (eglot-current-server))
  (expect (null (eglot-current-server)) "the server stops when it is asked to"))

(condition-case problem
    (run)
  (error (expect nil (format "%S" problem))))
(princ (if (zerop failures) "emacs: all met\n" (format "emacs: %d not met\n" failures)))
(kill-emacs (if (zerop failures) 0 1))
