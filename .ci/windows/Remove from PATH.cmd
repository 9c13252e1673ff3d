@echo off
rem Takes back what "Add to PATH.cmd" did, for you alone.
setlocal EnableExtensions EnableDelayedExpansion
set "here=%~dp0"
set "here=%here:~0,-1%"
set "kind=REG_EXPAND_SZ"
set "old="
for /f "tokens=1,2,*" %%a in ('reg query HKCU\Environment /v Path 2^>nul') do if /i "%%a"=="Path" set "kind=%%b" & set "old=%%c"
set "around=;!old!;"
set "without=!around:;%here%;=;!"
if "!without!"=="!around!" (
    echo It is not on your PATH: %here%
    goto end
)
if "!without!"==";" (
    reg delete HKCU\Environment /v Path /f >nul
) else (
    reg add HKCU\Environment /v Path /t !kind! /d "!without:~1,-1!" /f >nul
)
reg delete HKCU\Environment /v TURNWRIGHT_FOLDER /f >nul 2>nul
echo Removed from your PATH: %here%
:end
if not defined TURNWRIGHT_QUIET pause
