@echo off
rem Lets you write turnwright in any command window, and lets every editor find it. It is written for you alone, so no
rem administrator is needed. "Remove from PATH.cmd" takes it back.
if not exist "%~dp0turnwright.exe" goto missing
"%~dp0turnwright.exe" path --add
goto end
:missing
echo There is no turnwright.exe beside this file. Unpack the whole zip first: right click on it, "Extract All".
:end
if not defined TURNWRIGHT_QUIET pause
